// Strain that a source somewhere on the plate gives at another place: tensors [ex, ey, gxy], gxy engineering shear.
// A contracting spot is a nucleus of strain in an infinite sheet in plane stress: the strain of two crossed pairs of
// forces, from Kelvin's point-force solution (Love, Mathematical Theory of Elasticity, 1927, art. 148; for equal pairs
// it is Goodier's thermoelastic nucleus, Philosophical Magazine 23, 1937). Far away it falls with the square of the
// distance and changes sign across and along. Close to the spot the force is spread over a width: r^2 becomes
// R^2 = r^2 + width^2 in the biharmonic potential R^2 ln R from which the solution derives (as de Goes and James, ACM
// Transactions on Graphics 36, 2017, do for points in space), so it stays finite and smooth.
// Left out: the plate's edges and bolts; the bending field is taken to have the membrane field's form (exact for equal
// pairs, where both are second derivatives of one potential).
import type { KernelScenario, PartScenario, PlateScenario } from './scenario.ts';

export type Tensor = [number, number, number];
export type Field = (xM: number, yM: number) => Tensor;

/** A tensor from its larger principal value 1 along `directionRad` and `ratio` across. */
export function unitTensor(directionRad: number, ratio: number): Tensor {
  const mean = (1 + ratio) / 2;
  const half = (1 - ratio) / 2;
  const cos = Math.cos(2 * directionRad);
  const sin = Math.sin(2 * directionRad);
  return [mean + half * cos, mean - half * cos, 2 * half * sin];
}

/** The largest size of strain along any direction: the larger |principal|. */
export function largestStrain([ex, ey, gxy]: Readonly<Tensor>): number {
  return Math.abs(ex + ey) / 2 + Math.hypot((ex - ey) / 2, gxy / 2);
}

/**
 * Strain at (x, y) from a nucleus at 0 with free strain `free` over one unit of area, per square metre.
 * Positive free strain expands.
 */
export function nucleusStrain(
  x: number,
  y: number,
  widthM: number,
  free: Readonly<Tensor>,
  poissonsRatio: number,
): Tensor {
  const nu = poissonsRatio;
  // Free strain to pairs of forces per area, in units of Young's modulus.
  const k = 1 / (1 - nu * nu);
  const pair = [k * (free[0] + nu * free[1]), (k * (1 - nu) * free[2]) / 2, k * (free[1] + nu * free[0])] as const;
  const a = (3 - nu) / (1 + nu);
  const scale = (1 + nu) ** 2 / (4 * Math.PI);
  const at = [x, y] as const;
  const r2 = x * x + y * y + widthM * widthM;
  const gradient = [0, 0, 0, 0];
  for (let i = 0; i < 2; i++) {
    for (let l = 0; l < 2; l++) {
      let sum = 0;
      for (let j = 0; j < 2; j++) {
        for (let m = 0; m < 2; m++) sum += pair[j + m]! * kelvinSecond(i, j, m, l, at, r2, widthM * widthM, a);
      }
      gradient[2 * i + l] = -scale * sum;
    }
  }
  return [gradient[0]!, gradient[3]!, gradient[1]! + gradient[2]!];
}

/** Second derivative by x_m and x_l of (-a ln R + (a + 1) width^2 / 2 R^2) delta_ij + x_i x_j / R^2. */
function kelvinSecond(
  i: number,
  j: number,
  m: number,
  l: number,
  at: readonly [number, number],
  r2: number,
  width2: number,
  a: number,
): number {
  const d = (p: number, q: number): number => (p === q ? 1 : 0);
  const [xi, xj, xm, xl] = [at[i]!, at[j]!, at[m]!, at[l]!];
  return (
    -a * d(i, j) * (d(m, l) / r2 - (2 * xm * xl) / r2 ** 2) +
    (a + 1) * width2 * d(i, j) * ((4 * xm * xl) / r2 ** 3 - d(m, l) / r2 ** 2) +
    (d(i, m) * d(j, l) + d(j, m) * d(i, l)) / r2 -
    (2 * (d(i, m) * xj + d(j, m) * xi) * xl) / r2 ** 2 -
    (2 * (d(i, l) * xj * xm + d(j, l) * xi * xm + d(m, l) * xi * xj)) / r2 ** 2 +
    (8 * xi * xj * xm * xl) / r2 ** 3
  );
}

/** The field of a break, not yet scaled; its larger principal value at the origin has the sign +. */
export function kernelField(kernel: KernelScenario, poissonsRatio: number): Field {
  const tensor = unitTensor(kernel.directionRad, kernel.ratio);
  const [ox, oy] = kernel.originM;
  const width = kernel.widthM;
  const faded = (fade: (r: number) => number): Field => {
    return (x, y) => scaled(tensor, fade(Math.hypot(x - ox, y - oy) / width));
  };
  switch (kernel.shape) {
    case 'patch':
      return faded((r) => Math.exp((-r * r) / 2));
    case 'exponential':
      return faded((r) => Math.exp(-r));
    case 'nucleus':
      return (x, y) => nucleusStrain(x - ox, y - oy, width, tensor, poissonsRatio);
    case 'edge': {
      const steps = 9;
      const [tx, ty] = kernel.toM;
      return (x, y) => {
        const sum: Tensor = [0, 0, 0];
        for (let i = 0; i < steps; i++) {
          const u = i / (steps - 1);
          add(sum, nucleusStrain(x - ox - u * (tx - ox), y - oy - u * (ty - oy), width, tensor, poissonsRatio), 1);
        }
        return sum;
      };
    }
  }
}

/** The three fields of a part for unit free strain along x, along y and in shear, spread over its outline. */
export function partFields(part: PartScenario, plate: PlateScenario): readonly [Field, Field, Field] {
  const spots = fillOutline(part.outlineM, 8);
  const width = Math.max(plate.thicknessM, Math.sqrt(spots.areaM2));
  const units: readonly Tensor[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const field = (unit: Tensor): Field => {
    return (x, y) => {
      const sum: Tensor = [0, 0, 0];
      for (const [px, py] of spots.placesM) {
        add(sum, nucleusStrain(x - px, y - py, width, unit, plate.poissonsRatio), spots.areaM2);
      }
      return sum;
    };
  };
  return [field(units[0]!), field(units[1]!), field(units[2]!)];
}

/** Middle points of a grid of about `across` x `across` squares that lie inside the outline. */
function fillOutline(
  outlineM: PartScenario['outlineM'],
  across: number,
): { placesM: [number, number][]; areaM2: number } {
  const xs = outlineM.map(([x]) => x);
  const ys = outlineM.map(([, y]) => y);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const placesM: [number, number][] = [];
  for (let i = 0; i < across; i++) {
    for (let j = 0; j < across; j++) {
      const x = x0 + ((i + 0.5) * (x1 - x0)) / across;
      const y = y0 + ((j + 0.5) * (y1 - y0)) / across;
      if (insideOutline(outlineM, x, y)) placesM.push([x, y]);
    }
  }
  return { placesM, areaM2: ((x1 - x0) * (y1 - y0)) / (across * across) };
}

/** Even-odd rule. */
export function insideOutline(outlineM: PartScenario['outlineM'], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = outlineM.length - 1; i < outlineM.length; j = i++) {
    const [xi, yi] = outlineM[i]!;
    const [xj, yj] = outlineM[j]!;
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** Factor of a membrane field at height z when it comes from a force at the top face: membrane plus bending. */
export function heightFactor(plate: PlateScenario, heightM: number): number {
  return 1 + (6 * heightM * plate.bendingShare) / plate.thicknessM;
}

export function scaled(tensor: Readonly<Tensor>, factor: number): Tensor {
  return [tensor[0] * factor, tensor[1] * factor, tensor[2] * factor];
}

export function add(sum: Tensor, tensor: Readonly<Tensor>, factor: number): void {
  sum[0] += tensor[0] * factor;
  sum[1] += tensor[1] * factor;
  sum[2] += tensor[2] * factor;
}
