// Where on the plate a change came from: least squares fit of the pattern of change over the cells to physical kernels,
// over place and width, strength solved for exactly. Kernels, each a tensor times a decay with distance r over a width w:
//  - a surface spot with a Gaussian rim (a footprint that lets go);
//  - a nucleus of strain at depth w below a free surface, decaying as (1 + r^2/w^2)^(-3/2) (Mindlin & Cheng 1950;
//    Mogi 1958: the horizontal displacement over r of a centre of dilatation), the common tensor standing for its
//    anisotropy;
//  - the full radial field of that centre of dilatation, whose radial strain changes sign at r = w / sqrt 2.
// No kernel is believed alone: each place is weighted by how well it explains the change, and the place is that of the
// whole mixture (Bayesian model averaging, Hoeting et al. 1999).
// The spread is that of the mixture with its likelihood tempered by the fit's own residual (variances scaled by the reduced
// chi-square: Birge, Physical Review 40, 1932), so that an unforeseen kernel widens the spread. Kernels that fit well may
// still be the wrong ones, which no residual shows: a share of the pitch stands for that. It was set on 728 simulated
// breaks of four shapes, 16 to 192 cells, 3 to 400 sigma: the error is within the spread in 78 of 100 and within twice that
// in 96, its root mean square over the spread 0.9, along edges, which no kernel here describes, 1.2 (`originSpread.test.ts`).
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
  /** Standard error of the place: root mean square distance of the true place from the one given. */
  readonly spreadM: number;
  /** Width of the best kernel, metres. */
  readonly widthM: number;
}

export interface OriginBounds {
  readonly pitchM: number;
  readonly sizeM: readonly [number, number];
}

/** Whether a place says anything: what is as uncertain as the plate is wide could be anywhere on it. */
export function isPlaceKnown({ spreadM }: Origin, sizeM: readonly [number, number]): boolean {
  return spreadM < Math.min(...sizeM);
}

/** Places tried per pitch, and how far from the strongest cell in pitches. */
const placesPerPitch = 8;
const searchPitches = 1.25;
/** Widths tried, in pitches. */
const widths = [0.25, 0.4, 0.6, 0.9, 1.3, 2];
/** No kernel describes the metal to better than this share of the largest change. */
const modelShare = 0.08;

/** No place is known to better than this share of the pitch. */
const leastSpread = 0.1;

/** The search grid is looked at in blocks of so many places each way, first at their centres. */
const blockPlaces = 3;
/** Blocks whose centre is worse than the best by more than this in chi-square hold next to none of the likelihood. */
const blockReach = 16;

interface Candidate {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly chi2: number;
}

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
  const { xM, yM } = strongest;
  // One place alone knows no more than that it was near.
  if (places.length === 1) return { xM, yM, spreadM: bounds.pitchM, widthM: bounds.pitchM };
  const pattern = new Pattern(places, (modelShare * largest) ** 2);
  const { pitchM, sizeM } = bounds;
  // On the plate; a cell that the header puts off it counts as a part of it.
  const low = [Math.min(0, xM), Math.min(0, yM)] as const;
  const high = [Math.max(sizeM[0], xM), Math.max(sizeM[1], yM)] as const;
  const stepM = pitchM / placesPerPitch;
  const half = Math.round(searchPitches * placesPerPitch);
  const at = (ix: number, iy: number): Candidate[] => {
    const x = xM + ix * stepM;
    const y = yM + iy * stepM;
    if (x < low[0] || x > high[0] || y < low[1] || y > high[1]) return [];
    return widths.flatMap((share) => pattern.misfits(x, y, share * pitchM));
  };
  const blocks: { ix: number; iy: number; found: Candidate[]; least: number }[] = [];
  const centre = (blockPlaces - 1) / 2;
  for (let ix = -half; ix <= half; ix += blockPlaces) {
    for (let iy = -half; iy <= half; iy += blockPlaces) {
      const found = at(Math.min(half, ix + centre), Math.min(half, iy + centre));
      blocks.push({ ix, iy, found, least: Math.min(Infinity, ...found.map(({ chi2 }) => chi2)) });
    }
  }
  const best = Math.min(...blocks.map(({ least }) => least));
  const candidates: Candidate[] = [];
  const far: Candidate[] = [];
  for (const { ix, iy, found, least } of blocks) {
    if (!(least <= best + blockReach)) {
      far.push(...found);
      continue;
    }
    for (let i = ix; i < Math.min(half + 1, ix + blockPlaces); i++) {
      for (let j = iy; j < Math.min(half + 1, iy + blockPlaces); j++) candidates.push(...at(i, j));
    }
  }
  const near = candidates.length > 0 ? candidates : at(0, 0);
  const place = averaged(near);
  const told = places.filter(({ change }) => Math.hypot(...change) > 0).length;
  const spreadM = Math.hypot(spreadAbout(place, near, far, 3 * told), leastSpread * pitchM);
  return { ...place, spreadM };
}

/**
 * Root mean square distance from a place by the tempered likelihood. `far` stand for the blocks whose centres they are.
 * `numbers`: how many the cells that changed told; the silent ones agree with nearly any place.
 */
function spreadAbout(
  { xM, yM }: { readonly xM: number; readonly yM: number },
  near: readonly Candidate[],
  far: readonly Candidate[],
  numbers: number,
): number {
  const least = near.reduce((a, { chi2 }) => Math.min(a, chi2), Infinity);
  const temper = Math.max(1, least / numbers);
  let sum = 0;
  let square = 0;
  for (const [candidates, stoodFor] of [
    [near, 1],
    [far, blockPlaces ** 2],
  ] as const) {
    for (const { x, y, chi2 } of candidates) {
      const weight = stoodFor * Math.exp((-0.5 * (chi2 - least)) / temper);
      sum += weight;
      square += weight * ((x - xM) ** 2 + (y - yM) ** 2);
    }
  }
  return Math.sqrt(square / sum);
}

function averaged(candidates: readonly Candidate[]): Omit<Origin, 'spreadM'> {
  let best = candidates[0]!;
  for (const c of candidates) if (c.chi2 < best.chi2) best = c;
  let sum = 0;
  let sx = 0;
  let sy = 0;
  for (const c of candidates) {
    const weight = Math.exp(-0.5 * (c.chi2 - best.chi2));
    sum += weight;
    sx += weight * c.x;
    sy += weight * c.y;
  }
  return { xM: sx / sum, yM: sy / sum, widthM: best.w };
}

/** The changes to be fitted, laid out flat: the kernels are tried at thousands of places. */
class Pattern {
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  /** Three components a place; what is missing has change and weight 0. */
  readonly #change: Float64Array;
  readonly #weight: Float64Array;
  /** Chi-square of no change at all. */
  readonly #none: number;

  /** `extra`: variance of what no kernel describes. */
  constructor(places: readonly PlaceChange[], extra: number) {
    this.#x = Float64Array.from(places, (p) => p.xM);
    this.#y = Float64Array.from(places, (p) => p.yM);
    const flat = places.flatMap((p) => p.change.map((c, k) => ({ c, weight: 1 / (p.variance[k]! + extra) })));
    this.#change = Float64Array.from(flat, ({ c }) => (Number.isNaN(c) ? 0 : c));
    this.#weight = Float64Array.from(flat, ({ c, weight }) => (Number.isNaN(c) ? 0 : weight));
    this.#none = this.#weight.reduce((sum, weight, i) => sum + weight * this.#change[i]! ** 2, 0);
  }

  /**
   * Chi-square of the three kernels at (x, y) with width w, each at its best strength: for the first two a common tensor
   * (three strengths, one a component), for the centre of dilatation one strength.
   */
  misfits(x: number, y: number, w: number): Candidate[] {
    const over = [0, 0, 0, 0, 0, 0, 0];
    const under = [0, 0, 0, 0, 0, 0, 0];
    const w2 = w * w;
    for (let i = 0; i < this.#x.length; i++) {
      const dx = this.#x[i]! - x;
      const dy = this.#y[i]! - y;
      const r2 = dx * dx + dy * dy;
      const u = r2 / w2;
      const gauss = Math.exp(-0.5 * u);
      const q = 1 + u;
      const tangential = 1 / (q * Math.sqrt(q));
      const radial = tangential * (1 - (3 * u) / q);
      const c2 = r2 > 0 ? (dx * dx) / r2 : 1;
      const shear = r2 > 0 ? (2 * (radial - tangential) * dx * dy) / r2 : 0;
      for (let k = 0; k < 3; k++) {
        const weight = this.#weight[3 * i + k]!;
        const c = weight * this.#change[3 * i + k]!;
        const field =
          k === 2 ? shear : k === 0 ? radial * c2 + tangential * (1 - c2) : radial * (1 - c2) + tangential * c2;
        over[k]! += gauss * c;
        under[k]! += weight * gauss * gauss;
        over[3 + k]! += tangential * c;
        under[3 + k]! += weight * tangential * tangential;
        over[6]! += field * c;
        under[6]! += weight * field * field;
      }
    }
    const explained = (from: number, to: number): number => {
      let sum = 0;
      for (let k = from; k < to; k++) if (under[k]! > 0) sum += over[k]! ** 2 / under[k]!;
      return sum;
    };
    // Two strengths fewer for the last: the likelihood is penalised by neither, the prior odds are even.
    return [explained(0, 3), explained(3, 6), explained(6, 7)].map((sum) => ({ x, y, w, chi2: this.#none - sum }));
  }
}
