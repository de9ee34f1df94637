// One cell's readings -> mechanical strain per channel, in-plane tensor and principals, block by block. The hot path:
// typed arrays made once and reused, every row on its own, so results do not depend on the chunking.
// Strain dimensionless, tension positive, directions in radians counterclockwise from +x; missing is NaN.
// Where the cell's temperature is unknown altogether (no channel), nothing is taken out for it. Where its thermometers gave
// nothing in the datum window, strain has no zero: its changes are handed on for detection, the tensor is NaN.
import type { LogHeader } from '../header/logHeader.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import type { CellBlock, RosetteBlock } from './cellBlock.ts';
import { strainLine, temperatureLine, temperatureSource } from './channelStrain.ts';
import type { StrainLine } from './channelStrain.ts';
import type { CellLayout } from './layout.ts';
import { directionLimit, principal, shearSignificance } from './principal.ts';
import { RosetteSolver } from './rosetteSolver.ts';
import type { ZeroedSolution } from './rosetteSolver.ts';
import { altersTensor } from './sickSpell.ts';
import type { SickSpell } from './sickSpell.ts';
import type { StrainContext } from './strainContext.ts';

/** A channel of temperature and the changes it tells over the block at hand. */
interface Thermometer {
  readonly column: number;
  /** Reading at the datum; where there was none, at zero of the unit: changes are right then, and nothing else. */
  readonly zero: number;
  readonly perUnit: number;
  readonly change: Float64Array;
}

interface RosettePlan {
  readonly columns: readonly number[];
  readonly lines: readonly StrainLine[];
  readonly thermometer: Thermometer | undefined;
  readonly solver: RosetteSolver;
  readonly block: RosetteBlock;
  /** Spells in which a channel is left out, by its index within the rosette. */
  readonly leftOut: readonly { readonly index: number; readonly spell: SickSpell }[];
}

export interface CellStrainOptions {
  /** Channels that are left out for a while, as if their readings were missing. Default none. */
  readonly sick?: readonly SickSpell[];
  /** False where only the strain along each fibre is wanted: tensor arrays are then empty. Default true. */
  readonly tensors?: boolean;
}

export class CellStrain {
  /** Header channel that gives the cell's temperature; -1 where unknown. */
  readonly temperatureChannel: number;
  /** Whether all planes are compensated by that one channel, so that its noise moves them together. */
  readonly sharedTemperature: boolean;
  readonly #thermometers = new Map<number, Thermometer>();
  readonly #plans: readonly RosettePlan[];
  readonly #temperatureZeroed: boolean;
  readonly #tensors: boolean;
  readonly #timeColumn: number;
  readonly #block: CellBlock;

  /** `capacity` is the most rows a block may hold. */
  constructor(
    header: LogHeader,
    layout: CellLayout,
    context: StrainContext,
    capacity: number,
    options: CellStrainOptions = {},
  ) {
    const thermometer = (channel: number): Thermometer | undefined => {
      if (channel >= 0 && !this.#thermometers.has(channel)) {
        this.#thermometers.set(channel, thermometerOf(header, channel, context, capacity));
      }
      return this.#thermometers.get(channel);
    };
    this.temperatureChannel = temperatureSource(header, layout, context.temperatureZeroK);
    this.#temperatureZeroed = Number.isFinite(context.temperatureZeroK[this.temperatureChannel]);
    this.#tensors = options.tensors ?? true;
    this.#timeColumn = header.roles.time;
    const leftOut = (options.sick ?? []).filter(altersTensor);
    const ofCell = thermometer(this.temperatureChannel);
    this.#plans = layout.rosettes.map((rosette) => {
      const lines = rosette.channels.map((c) => strainLine(header.channels[c]!, header));
      const columns = rosette.channels.map((c) => header.channels[c]!.column);
      const own = thermometer(temperatureSource(header, layout, context.temperatureZeroK, rosette.plane));
      const solver = new RosetteSolver(header, rosette, lines, context);
      const block = rosetteBlock(columns.length, solver.full && this.#tensors ? capacity : 0, capacity);
      const sick = leftOut.map((spell) => ({ index: rosette.channels.indexOf(spell.channel), spell }));
      return { columns, lines, thermometer: own, solver, block, leftOut: sick.filter(({ index }) => index >= 0) };
    });
    this.sharedTemperature = this.#plans.every((plan) => plan.thermometer === ofCell);
    this.#block = {
      layout,
      rows: 0,
      temperatureChange: ofCell?.change ?? new Float64Array(capacity).fill(NaN),
      rosettes: this.#plans.map((plan) => plan.block),
    };
  }

  /** Kelvin against the datum at a row of the block; NaN where unknown, or where there is no such zero. */
  temperatureAt(row: number): number {
    return this.#temperatureZeroed ? this.#block.temperatureChange[row]! : NaN;
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
    for (const thermometer of this.#thermometers.values()) temperatures(rows, thermometer, count);
    for (const plan of this.#plans) {
      for (let k = 0; k < plan.columns.length; k++) {
        const kelvin = plan.lines[k]!.perKelvin === 0 ? undefined : plan.thermometer?.change;
        strains(rows.columns[plan.columns[k]!]!, plan.lines[k]!, kelvin, plan.block.strain[k]!, count);
      }
      for (const { index, spell } of plan.leftOut) {
        leaveOut(rows.columns[this.#timeColumn]!, spell, plan.block.strain[index]!, count);
      }
      if (plan.solver.full && this.#tensors) tensors(plan, plan.solver.full, count);
    }
    return block;
  }
}

function thermometerOf(header: LogHeader, index: number, context: StrainContext, capacity: number): Thermometer {
  const channel = header.channels[index]!;
  const line = temperatureLine(channel, header);
  const zeroK = context.temperatureZeroK[index]!;
  return {
    column: channel.column,
    zero: line.zero + (Number.isNaN(zeroK) ? 0 : zeroK) / line.perUnit,
    perUnit: line.perUnit,
    change: new Float64Array(capacity),
  };
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

function temperatures(rows: RowBlock, { column, zero, perUnit, change }: Thermometer, count: number): void {
  const readings = rows.columns[column]!;
  for (let i = 0; i < count; i++) change[i] = (readings[i]! - zero) * perUnit;
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

/** Rows are in the order of time. */
function leaveOut(time: Float64Array, { fromS, toS }: SickSpell, out: Float64Array, rows: number): void {
  if (rows === 0 || time[rows - 1]! < fromS || time[0]! >= toS) return;
  for (let i = 0; i < rows; i++) if (time[i]! >= fromS && time[i]! < toS) out[i] = NaN;
}

/** Adds the tensor of every row; one loop a row for the usual three and four channels, which is three times faster. */
function tensors({ block, solver }: RosettePlan, full: ZeroedSolution, rows: number): void {
  const used = block.strain.map((_, k) => k).filter((k) => isUsed(full, block.strain.length, k));
  if (used.length === 3) tensorOfThree(block, full, used, rows);
  else if (used.length === 4) tensorOfFour(block, full, used, rows);
  else tensorOfMany(block, full, used, rows);
  principals(block, solver, full, rows);
}

/** A channel left out has a whole column of zeros; its NaN must not spread. */
function isUsed({ inverse }: ZeroedSolution, n: number, k: number): boolean {
  return inverse[k] !== 0 || inverse[n + k] !== 0 || inverse[2 * n + k] !== 0;
}

function tensorOfThree(block: RosetteBlock, full: ZeroedSolution, used: readonly number[], rows: number): void {
  const n = block.strain.length;
  const [s0, s1, s2] = used.map((k) => block.strain[k]!) as [Float64Array, Float64Array, Float64Array];
  for (const [r, out] of [block.ex, block.ey, block.gxy].entries()) {
    const [p0, p1, p2] = used.map((k) => full.inverse[r * n + k]!) as [number, number, number];
    const zero = full.zero[r]!;
    for (let i = 0; i < rows; i++) out[i] = p0 * s0[i]! + p1 * s1[i]! + p2 * s2[i]! - zero;
  }
}

function tensorOfFour(block: RosetteBlock, full: ZeroedSolution, used: readonly number[], rows: number): void {
  const n = block.strain.length;
  const [s0, s1, s2, s3] = used.map((k) => block.strain[k]!) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (const [r, out] of [block.ex, block.ey, block.gxy].entries()) {
    const [p0, p1, p2, p3] = used.map((k) => full.inverse[r * n + k]!) as [number, number, number, number];
    const zero = full.zero[r]!;
    for (let i = 0; i < rows; i++) out[i] = p0 * s0[i]! + p1 * s1[i]! + p2 * s2[i]! + p3 * s3[i]! - zero;
  }
}

function tensorOfMany(block: RosetteBlock, full: ZeroedSolution, used: readonly number[], rows: number): void {
  const n = block.strain.length;
  for (const [r, out] of [block.ex, block.ey, block.gxy].entries()) {
    out.fill(-full.zero[r]!, 0, rows);
    for (const k of used) {
      const values = block.strain[k]!;
      const factor = full.inverse[r * n + k]!;
      for (let i = 0; i < rows; i++) out[i]! += factor * values[i]!;
    }
  }
}

function principals(block: RosetteBlock, solver: RosetteSolver, full: ZeroedSolution, rows: number): void {
  const { ex, ey, gxy, e1, e2, dir } = block;
  const [formX, formXY, formY] = full.shearForm;
  for (let i = 0; i < rows; i++) {
    const x = ex[i]!;
    if (x !== x) {
      repair(block, solver, i);
      continue;
    }
    const difference = x - ey[i]!;
    const shear = gxy[i]!;
    const mean = 0.5 * (x + ey[i]!);
    const radius = 0.5 * Math.sqrt(difference * difference + shear * shear);
    e1[i] = mean + radius;
    e2[i] = mean - radius;
    const significance = formX * difference * difference + 2 * formXY * difference * shear + formY * shear * shear;
    // Written so that where the noise is unknown (NaN) there is no direction.
    dir[i] = significance >= directionLimit ? directionOf(shear, difference) : NaN;
  }
}

function directionOf(shear: number, difference: number): number {
  const angle = 0.5 * Math.atan2(shear, difference);
  if (angle >= 0) return angle;
  const turned = angle + Math.PI;
  return turned < Math.PI ? turned : 0;
}

/** Solves a row in which channels are missing from those that are left; leaves NaN where they do not suffice. */
function repair(block: RosetteBlock, solver: RosetteSolver, row: number): void {
  const { strain, ex, ey, gxy, e1, e2, dir } = block;
  const solution = solver.at(strain, row);
  const x = repaired(solution, 0, strain, row);
  const y = repaired(solution, 1, strain, row);
  const shear = repaired(solution, 2, strain, row);
  ex[row] = x;
  ey[row] = y;
  gxy[row] = shear;
  const whole = principal(x, y, shear);
  e1[row] = whole.e1;
  e2[row] = whole.e2;
  const defined = solution && shearSignificance(x - y, shear, solution.shear) >= directionLimit;
  dir[row] = defined ? whole.dirRad : NaN;
}

/** Component `r` of the tensor at a row: without the channels that the solution leaves out. */
function repaired(
  solution: ZeroedSolution | undefined,
  r: number,
  strain: readonly Float64Array[],
  row: number,
): number {
  if (!solution) return NaN;
  let sum = -solution.zero[r]!;
  for (let k = 0; k < strain.length; k++) {
    const factor = solution.inverse[r * strain.length + k]!;
    if (factor !== 0) sum += factor * strain[k]![row]!;
  }
  return sum;
}
