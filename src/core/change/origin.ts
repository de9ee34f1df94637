// Where on the plate a change came from: least squares fit of the pattern of change over the cells to physical kernels,
// over place and width, strength solved for exactly. Kernels, each a tensor times a decay with distance r over a width w:
//  - a surface spot with a Gaussian rim (a footprint that lets go);
//  - a nucleus of strain at depth w below a free surface, decaying as (1 + r^2/w^2)^(-3/2) (Mindlin & Cheng 1950;
//    Mogi 1958: the horizontal displacement over r of a centre of dilatation), the common tensor standing for its
//    anisotropy;
//  - the full radial field of that centre of dilatation, whose radial strain changes sign at r = w / sqrt 2.
// No kernel is believed alone: each place is weighted by how well it explains the change, and the spread is that of the
// whole mixture (Bayesian model averaging, Hoeting et al. 1999), so that an unforeseen kernel widens the spread.
// Metres; strains dimensionless.

/** The change at one place. `weight` is the inverse variance of each component as it is to be fitted. */
export interface PlaceChange {
  readonly xM: number;
  readonly yM: number;
  /** Components that transform alike at all places: a tensor (ex, ey, gxy), or one size. */
  readonly change: readonly [number, number, number];
  readonly variance: readonly [number, number, number];
}

export interface Origin {
  readonly xM: number;
  readonly yM: number;
  /** Root mean square distance of the true place from the one given, by the fit. */
  readonly spreadM: number;
  /** Width of the best kernel, metres. */
  readonly widthM: number;
}

export interface OriginBounds {
  readonly pitchM: number;
  readonly sizeM: readonly [number, number];
}

/** Places tried per pitch, and how far from the strongest cell in pitches. */
const placesPerPitch = 8;
const searchPitches = 1.25;
/** Widths tried, in pitches. */
const widths = [0.25, 0.4, 0.6, 0.9, 1.3, 2];
/** No kernel describes the metal to better than this share of the largest change. */
const modelShare = 0.08;

type Decay = (r2: number, w: number) => number;
const decays: readonly Decay[] = [(r2, w) => Math.exp(-0.5 * (r2 / (w * w))), (r2, w) => (1 + r2 / (w * w)) ** -1.5];

/** Undefined where nothing is there to fit. Places are in any order. */
export function fitOrigin(places: readonly PlaceChange[], bounds: OriginBounds): Origin | undefined {
  let strongest: PlaceChange | undefined;
  let largest = 0;
  for (const p of places) {
    const size = Math.hypot(...p.change);
    if (size > largest) {
      largest = size;
      strongest = p;
    }
  }
  if (!strongest) return undefined;
  const fitted = places.map((p) => {
    const extra = (modelShare * largest) ** 2;
    return { ...p, inverse: p.variance.map((v) => 1 / (v + extra)) };
  });
  const { pitchM, sizeM } = bounds;
  const half = Math.round(searchPitches * placesPerPitch);
  const candidates: { x: number; y: number; w: number; chi2: number }[] = [];
  for (let ix = -half; ix <= half; ix++) {
    const x = strongest.xM + (ix * pitchM) / placesPerPitch;
    if (x < 0 || x > sizeM[0]) continue;
    for (let iy = -half; iy <= half; iy++) {
      const y = strongest.yM + (iy * pitchM) / placesPerPitch;
      if (y < 0 || y > sizeM[1]) continue;
      for (const share of widths) {
        const w = share * pitchM;
        for (const decay of decays) candidates.push({ x, y, w, chi2: commonTensorMisfit(fitted, x, y, w, decay) });
        candidates.push({ x, y, w, chi2: dilatationMisfit(fitted, x, y, w) });
      }
    }
  }
  return averaged(candidates);
}

function averaged(candidates: readonly { x: number; y: number; w: number; chi2: number }[]): Origin {
  let best = candidates[0]!;
  for (const c of candidates) if (c.chi2 < best.chi2) best = c;
  let sum = 0;
  let sx = 0;
  let sy = 0;
  let sr = 0;
  for (const c of candidates) {
    const weight = Math.exp(-0.5 * (c.chi2 - best.chi2));
    sum += weight;
    sx += weight * c.x;
    sy += weight * c.y;
    sr += weight * (c.x * c.x + c.y * c.y);
  }
  const xM = sx / sum;
  const yM = sy / sum;
  return { xM, yM, spreadM: Math.sqrt(Math.max(0, sr / sum - xM * xM - yM * yM)), widthM: best.w };
}

type Fitted = PlaceChange & { readonly inverse: readonly number[] };

/** Chi-square of the best common tensor times a decay; three strengths are solved for, one per component. */
function commonTensorMisfit(places: readonly Fitted[], x: number, y: number, w: number, decay: Decay): number {
  let chi2 = 0;
  const over = [0, 0, 0];
  const under = [0, 0, 0];
  for (const p of places) {
    const g = decay((p.xM - x) ** 2 + (p.yM - y) ** 2, w);
    for (let k = 0; k < 3; k++) {
      const c = p.change[k]!;
      if (c !== c) continue;
      const weight = p.inverse[k]!;
      chi2 += weight * c * c;
      over[k]! += weight * g * c;
      under[k]! += weight * g * g;
    }
  }
  for (let k = 0; k < 3; k++) if (under[k]! > 0) chi2 -= over[k]! ** 2 / under[k]!;
  return chi2;
}

/** Chi-square of the best centre of dilatation: radial and tangential strain about the place. One strength. */
function dilatationMisfit(places: readonly Fitted[], x: number, y: number, w: number): number {
  let chi2 = 0;
  let over = 0;
  let under = 0;
  for (const p of places) {
    const dx = p.xM - x;
    const dy = p.yM - y;
    const r2 = dx * dx + dy * dy;
    const q = 1 + r2 / (w * w);
    const tangential = q ** -1.5;
    const radial = tangential * (1 - (3 * r2) / (w * w) / q);
    const c2 = r2 > 0 ? (dx * dx) / r2 : 1;
    const s2 = 1 - c2;
    const field = [
      radial * c2 + tangential * s2,
      radial * s2 + tangential * c2,
      r2 > 0 ? (2 * (radial - tangential) * dx * dy) / r2 : 0,
    ];
    for (let k = 0; k < 3; k++) {
      const c = p.change[k]!;
      if (c !== c) continue;
      const weight = p.inverse[k]!;
      chi2 += weight * c * c;
      over += weight * field[k]! * c;
      under += weight * field[k]! ** 2;
    }
  }
  // Two strengths fewer than the common tensor: the likelihood is penalised by neither, the prior odds are even.
  return under > 0 ? chi2 - over ** 2 / under : chi2;
}
