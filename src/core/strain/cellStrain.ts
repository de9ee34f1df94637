// One cell's readings -> mechanical strain per channel, in-plane tensor and principals, block by block. The hot path:
// typed arrays made once and reused, every row on its own, so results do not depend on the chunking.
// Strain dimensionless, tension positive, directions in radians counterclockwise from +x; missing is NaN.
// Where the cell's temperature is unknown altogether (no channel), nothing is taken out for it.
import type { LogHeader } from '../header/logHeader.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import type { CellBlock, RosetteBlock } from './cellBlock.ts';
import { strainLine, temperatureLine, temperatureSource } from './channelStrain.ts';
import type { StrainLine } from './channelStrain.ts';
import type { CellLayout } from './layout.ts';
import { directionLimit } from './principal.ts';
import { RosetteSolver } from './rosetteSolver.ts';
import type { ZeroedSolution } from './rosetteSolver.ts';
import type { StrainContext } from './strainContext.ts';

interface RosettePlan {
  readonly columns: readonly number[];
  readonly lines: readonly StrainLine[];
  readonly solver: RosetteSolver;
  readonly block: RosetteBlock;
}

export interface CellStrainOptions {
  /** Header channel indices left out of every tensor, e.g. known to be sick. Default none. */
  readonly exclude?: readonly number[];
}

export class CellStrain {
  /** Header channel that gives the temperature; -1 where unknown. */
  readonly temperatureChannel: number;
  readonly #temperatureColumn: number;
  readonly #temperatureZero: number;
  readonly #temperaturePerUnit: number;
  readonly #plans: readonly RosettePlan[];
  readonly #block: CellBlock;

  /** `capacity` is the most rows a block may hold. */
  constructor(
    header: LogHeader,
    layout: CellLayout,
    context: StrainContext,
    capacity: number,
    options: CellStrainOptions = {},
  ) {
    this.temperatureChannel = temperatureSource(header, layout, context.temperatureZeroK);
    const channel = header.channels[this.temperatureChannel];
    const line = channel ? temperatureLine(channel, header) : { zero: 0, perUnit: 0 };
    this.#temperatureColumn = channel?.column ?? -1;
    this.#temperaturePerUnit = line.perUnit;
    this.#temperatureZero = channel ? line.zero + context.temperatureZeroK[this.temperatureChannel]! / line.perUnit : 0;
    const noiseK = channel ? context.noise[this.temperatureChannel]! : 0;
    this.#plans = layout.rosettes.map((rosette) => {
      const lines = rosette.channels.map((c) => strainLine(header.channels[c]!, header));
      const columns = rosette.channels.map((c) => header.channels[c]!.column);
      const solver = new RosetteSolver(header, rosette, lines, context, noiseK, options.exclude ?? []);
      return { columns, lines, solver, block: rosetteBlock(columns.length, solver.full ? capacity : 0, capacity) };
    });
    this.#block = {
      layout,
      rows: 0,
      temperatureChange: new Float64Array(capacity).fill(NaN),
      rosettes: this.#plans.map((plan) => plan.block),
    };
  }

  /** Solutions, covariance and residual of one rosette of the layout. */
  solver(rosette: number): RosetteSolver {
    return this.#plans[rosette]!.solver;
  }

  /** The block returned is the same object each time, overwritten by the next call. */
  convert(rows: RowBlock): CellBlock {
    const block = this.#block;
    const count = rows.rows;
    if (count > block.temperatureChange.length) {
      throw new Error(`a block of ${count} rows exceeds the capacity of ${block.temperatureChange.length}`);
    }
    block.rows = count;
    const known = this.#temperatureColumn >= 0;
    if (known) {
      const readings = rows.columns[this.#temperatureColumn]!;
      temperatures(readings, this.#temperatureZero, this.#temperaturePerUnit, block.temperatureChange, count);
    }
    for (const plan of this.#plans) {
      for (let k = 0; k < plan.columns.length; k++) {
        const kelvin = known && plan.lines[k]!.perKelvin !== 0 ? block.temperatureChange : undefined;
        strains(rows.columns[plan.columns[k]!]!, plan.lines[k]!, kelvin, plan.block.strain[k]!, count);
      }
      if (plan.solver.full) tensors(plan, plan.solver.full, count);
    }
    return block;
  }
}

function rosetteBlock(channels: number, tensorRows: number, rows: number): RosetteBlock {
  const column = (): Float64Array => new Float64Array(tensorRows);
  return {
    strain: Array.from({ length: channels }, () => new Float64Array(rows)),
    ex: column(),
    ey: column(),
    gxy: column(),
    e1: column(),
    e2: column(),
    dir: column(),
  };
}

function temperatures(readings: Float64Array, zero: number, perUnit: number, out: Float64Array, rows: number): void {
  for (let i = 0; i < rows; i++) out[i] = (readings[i]! - zero) * perUnit;
}

function strains(
  readings: Float64Array,
  { zero, perUnit, perKelvin }: StrainLine,
  kelvin: Float64Array | undefined,
  out: Float64Array,
  rows: number,
): void {
  if (kelvin) for (let i = 0; i < rows; i++) out[i] = (readings[i]! - zero) * perUnit - perKelvin * kelvin[i]!;
  else for (let i = 0; i < rows; i++) out[i] = (readings[i]! - zero) * perUnit;
}

function tensors({ block, solver }: RosettePlan, full: ZeroedSolution, rows: number): void {
  const { strain, ex, ey, gxy } = block;
  const n = strain.length;
  ex.fill(-full.zero[0], 0, rows);
  ey.fill(-full.zero[1], 0, rows);
  gxy.fill(-full.zero[2], 0, rows);
  for (let k = 0; k < n; k++) {
    const px = full.inverse[k]!;
    const py = full.inverse[n + k]!;
    const pg = full.inverse[2 * n + k]!;
    // A channel left out has a whole column of zeros; its NaN must not spread.
    if (px === 0 && py === 0 && pg === 0) continue;
    const values = strain[k]!;
    for (let i = 0; i < rows; i++) {
      const value = values[i]!;
      ex[i]! += px * value;
      ey[i]! += py * value;
      gxy[i]! += pg * value;
    }
  }
  principals(block, solver, full, rows);
}

function principals(block: RosetteBlock, solver: RosetteSolver, full: ZeroedSolution, rows: number): void {
  const { ex, ey, gxy, e1, e2, dir } = block;
  for (let i = 0; i < rows; i++) {
    let form = full.shearForm;
    if (Number.isNaN(ex[i]!)) form = repair(block, solver, i)?.shearForm ?? form;
    const difference = ex[i]! - ey[i]!;
    const shear = gxy[i]!;
    const mean = 0.5 * (ex[i]! + ey[i]!);
    const radius = 0.5 * Math.sqrt(difference * difference + shear * shear);
    e1[i] = mean + radius;
    e2[i] = mean - radius;
    const significance = form[0] * difference * difference + 2 * form[1] * difference * shear + form[2] * shear * shear;
    // Written so that unknown noise (NaN) leaves the direction standing.
    if (significance < directionLimit || radius === 0) dir[i] = NaN;
    else {
      const angle = 0.5 * Math.atan2(shear, difference);
      dir[i] = angle < 0 ? (angle + Math.PI) % Math.PI : angle;
    }
  }
}

/** Solves a row in which channels are missing from those that are left; leaves NaN where they do not suffice. */
function repair(block: RosetteBlock, solver: RosetteSolver, row: number): ZeroedSolution | undefined {
  const solution = solver.at(block.strain, row);
  const n = block.strain.length;
  const tensor = [NaN, NaN, NaN];
  if (solution) {
    for (let r = 0; r < 3; r++) {
      let sum = -solution.zero[r]!;
      for (let k = 0; k < n; k++) {
        const factor = solution.inverse[r * n + k]!;
        if (factor !== 0) sum += factor * block.strain[k]![row]!;
      }
      tensor[r] = sum;
    }
  }
  block.ex[row] = tensor[0]!;
  block.ey[row] = tensor[1]!;
  block.gxy[row] = tensor[2]!;
  return solution;
}
