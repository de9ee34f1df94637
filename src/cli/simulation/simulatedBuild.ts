// A whole simulated build, row by row: heat, growth of the parts, breaks, noise and faults make the readings of every
// channel. Rows come in blocks of any size and are the same whatever the size. Memory does not grow with the build's
// length, apart from one number per layer.
// Reading of a channel (the metal's strain e along the fibre, dT the temperature's change from the fibre's rest):
//   e = strain in the fibre's direction + expansion of the plate * dT
//   bragg: rest * (1 + strain gain * e + thermal gain * dT); spectral-shift: strain gain * e + thermal gain * dT;
//   strain: e, or without the thermal part where the interrogator compensates.
import { addBreaks, breakCourses, shareAt } from './breaks.ts';
import type { Course } from './breaks.ts';
import { buildClock } from './buildClock.ts';
import type { BuildClock, Instant } from './buildClock.ts';
import { ChannelNoise, noiseSize } from './channelNoise.ts';
import { columnsOf } from './columns.ts';
import type { SimulatedColumn } from './columns.ts';
import { PartGrowth } from './partGrowth.ts';
import { heightFactor, partFields } from './plateField.ts';
import type { Tensor } from './plateField.ts';
import { PlateHeat } from './plateHeat.ts';
import { RandomStream } from './random.ts';
import type { Scenario } from './scenario.ts';
import { ChannelFaults, sensorFaults } from './sensorFaults.ts';
import type { Fault } from './sensorFaults.ts';

/** Readings as whole numbers of the last decimal written: value = count / 10^decimals; NaN where missing. */
export interface CountBlock {
  rows: number;
  /** One per column, same order as `columns`. */
  readonly counts: readonly Float64Array[];
}

/** Temperature at which the gratings' rest wavelengths hold. */
const restC = 20;

export class SimulatedBuild {
  readonly scenario: Scenario;
  readonly columns: readonly SimulatedColumn[];
  readonly clock: BuildClock;
  readonly courses: readonly Course[];
  readonly faults: readonly Fault[];
  /** Standard deviation of the strain along one fibre from one reading, temperature taken out, written decimals and all. */
  readonly sigma: number;
  readonly #heat: PlateHeat;
  readonly #growth: PartGrowth;
  readonly #channels: readonly ChannelState[];
  readonly #influence: readonly (readonly (readonly Tensor[])[])[];
  readonly #common: ChannelNoise;
  readonly #times: RandomStream;
  readonly #shares: Float64Array;
  readonly #lost: Uint8Array;
  readonly #tensors: readonly Tensor[][];
  readonly #now: Instant = { layer: 0, phase: 2, part: -1, exposed: 0 };
  readonly #height: readonly number[];
  #row = 0;
  #lastS = 0;

  constructor(scenario: Scenario) {
    this.scenario = scenario;
    this.columns = columnsOf(scenario);
    this.clock = buildClock(scenario);
    this.sigma = readingSigma(scenario);
    this.courses = breakCourses(scenario, this.clock, this.sigma);
    const names = this.columns.map(({ name }) => name);
    this.faults = sensorFaults(scenario, this.clock, names, this.sigma);
    this.#heat = new PlateHeat(scenario);
    this.#growth = new PartGrowth(scenario, this.clock.shares);
    this.#channels = this.columns.map((column, index) => channelState(scenario, column, index, this.faults));
    this.#influence = scenario.parts.map((part) => {
      const fields = partFields(part, scenario.plate);
      return scenario.cells.map(({ xM, yM }) => fields.map((field) => field(xM, yM)));
    });
    const dtS = 1 / scenario.rateHz;
    const common = { ...scenario.noise, white: scenario.noise.common, slow: 0, pink: 0, tailDegrees: 0 };
    this.#common = new ChannelNoise(common, dtS, new RandomStream(scenario.seed, 'common noise'));
    this.#times = new RandomStream(scenario.seed, 'time stamps');
    this.#shares = new Float64Array(this.courses.length);
    this.#lost = new Uint8Array(this.courses.length);
    this.#tensors = scenario.planes.map(() => scenario.cells.map((): Tensor => [0, 0, 0]));
    this.#height = scenario.planes.map(({ heightM }) => heightFactor(scenario.plate, heightM));
  }

  get rows(): number {
    return Math.floor(this.clock.endS * this.scenario.rateHz);
  }

  /** A block that `fill` can be given. */
  block(capacity: number): CountBlock {
    return { rows: 0, counts: this.columns.map(() => new Float64Array(capacity)) };
  }

  /** Fills the block with the next rows; fewer than its capacity, or none, at the end. */
  fill(block: CountBlock): number {
    const capacity = block.counts[0]!.length;
    const total = this.rows;
    block.rows = 0;
    while (block.rows < capacity && this.#row < total) {
      this.#advance();
      this.#write(block, block.rows++);
    }
    return block.rows;
  }

  #advance(): void {
    const dtS = 1 / this.scenario.rateHz;
    const jitterS = this.scenario.timeJitterS > 0 ? this.scenario.timeJitterS * this.#times.normal() : 0;
    const timeS = this.#row * dtS + Math.min(0.45 * dtS, Math.max(-0.45 * dtS, jitterS));
    const stepS = this.#row === 0 ? dtS : Math.max(0, timeS - this.#lastS);
    this.#lastS = Math.max(0, timeS);
    this.#row++;
    this.clock.at(this.#lastS, this.#now);
    this.#heat.step(stepS, this.#now);
    for (let i = 0; i < this.courses.length; i++) {
      this.#shares[i] = shareAt(this.courses[i]!, this.#lastS);
      if (this.#lost[i] === 0 && this.#lastS >= this.courses[i]!.fromS) this.#lose(i);
    }
    this.#growth.step(stepS, this.#now, this.#heat.glow);
    for (let plane = 0; plane < this.#tensors.length; plane++) {
      for (let cell = 0; cell < this.#tensors[plane]!.length; cell++) this.#strainAt(plane, cell);
    }
  }

  #lose(course: number): void {
    this.#lost[course] = 1;
    const { part, loss } = this.courses[course]!;
    if (part >= 0) this.#growth.hold[part]! *= 1 - loss;
  }

  #strainAt(plane: number, cell: number): void {
    const tensor = this.#tensors[plane]![cell]!;
    const { restraint, thermalExpansionPerK } = this.scenario.plate;
    const held = -restraint * thermalExpansionPerK * (this.#heat.plateC - this.scenario.heat.startC);
    tensor[0] = held;
    tensor[1] = held;
    tensor[2] = 0;
    for (let part = 0; part < this.#influence.length; part++) {
      const fields = this.#influence[part]![cell]!;
      const free = this.#growth.free[part]!;
      for (let i = 0; i < 3; i++) {
        const amount = free[i]! * this.#height[plane]!;
        tensor[0] += amount * fields[i]![0];
        tensor[1] += amount * fields[i]![1];
        tensor[2] += amount * fields[i]![2];
      }
    }
    addBreaks(tensor, this.courses, this.#shares, plane, cell);
    if (this.#now.layer > 0 && this.#now.phase === 0) tensor[1] += this.scenario.recoater.rub;
  }

  #write(block: CountBlock, row: number): void {
    const common = this.#common.next();
    for (let i = 0; i < this.#channels.length; i++) {
      const channel = this.#channels[i]!;
      const reading = this.#reading(channel, common);
      const value = channel.faults ? channel.faults.apply(reading, this.#lastS, 1 / this.scenario.rateHz) : reading;
      block.counts[i]![row] = Math.round(value * channel.tenPower);
    }
  }

  #reading(channel: ChannelState, common: number): number {
    const { column } = channel;
    const { fibres, plate } = this.scenario;
    if (column.role === 'time') return this.#lastS;
    if (column.role === 'layer') return this.#now.layer;
    if (column.role === 'phase') return this.#now.phase;
    if (column.role === 'temperature') {
      const felt = column.cell >= 0 ? this.#heat.feltC[column.cell]! : this.#heat.plateFeltC;
      return felt + this.scenario.temperature.noiseK * channel.random.normal();
    }
    const [ex, ey, gxy] = this.#tensors[column.plane]![column.cell]!;
    const strain = ex * channel.cos2 + ey * channel.sin2 + gxy * channel.sinCos + common + channel.noise.next();
    const rise = this.#heat.cellC[column.cell]! - restC;
    const whole = strain + plate.thermalExpansionPerK * rise;
    if (fibres.kind === 'bragg') return column.restNm * (1 + channel.strainGain * whole + fibres.thermalGain * rise);
    if (fibres.kind === 'spectral-shift') return 1e-9 * (channel.strainGain * whole + fibres.thermalGain * rise);
    return 1e6 * (fibres.compensated ? strain : whole) * channel.strainGain;
  }
}

interface ChannelState {
  readonly column: SimulatedColumn;
  readonly tenPower: number;
  readonly cos2: number;
  readonly sin2: number;
  readonly sinCos: number;
  readonly strainGain: number;
  readonly noise: ChannelNoise;
  readonly random: RandomStream;
  readonly faults: ChannelFaults | undefined;
}

function channelState(
  scenario: Scenario,
  column: SimulatedColumn,
  index: number,
  faults: readonly Fault[],
): ChannelState {
  const random = new RandomStream(scenario.seed, `channel ${column.name}`);
  const { fibres } = scenario;
  const direction = column.directionRad + fibres.directionErrorRad * random.normal();
  const gain = fibres.kind === 'strain' ? 1 : fibres.strainGain;
  const strainGain = gain * (1 + fibres.gainError * random.normal());
  const mine = faults.filter((fault) => fault.channels.includes(index));
  const perStrain =
    column.role === 'temperature' ? 1 / scenario.plate.thermalExpansionPerK : readingPerStrain(scenario, column);
  return {
    column,
    tenPower: 10 ** column.decimals,
    cos2: Math.cos(direction) ** 2,
    sin2: Math.sin(direction) ** 2,
    sinCos: Math.sin(direction) * Math.cos(direction),
    strainGain,
    noise: new ChannelNoise(scenario.noise, 1 / scenario.rateHz, random),
    random,
    faults:
      mine.length > 0
        ? new ChannelFaults(mine, perStrain, new RandomStream(scenario.seed, `faults of ${column.name}`))
        : undefined,
  };
}

function readingPerStrain(scenario: Scenario, column: SimulatedColumn): number {
  const { kind, strainGain } = scenario.fibres;
  return kind === 'bragg' ? column.restNm * strainGain : kind === 'spectral-shift' ? strainGain * 1e-9 : 1e6;
}

function readingSigma(scenario: Scenario): number {
  const { fibres, temperature, plate } = scenario;
  const perStrain = readingPerStrain(scenario, { ...columnsOf(scenario).at(-1)!, restNm: fibres.firstRestM * 1e9 });
  const rounding = 10 ** -fibres.decimals / Math.sqrt(12) / Math.abs(perStrain);
  const compensated = fibres.kind === 'strain' && fibres.compensated;
  const gain = fibres.kind === 'strain' ? 1 : fibres.strainGain;
  const perKelvin =
    compensated || temperature.per === 'none' ? 0 : fibres.thermalGain / gain + plate.thermalExpansionPerK;
  const kelvin = Math.hypot(temperature.noiseK, 10 ** -temperature.decimals / Math.sqrt(12));
  return Math.hypot(noiseSize(scenario.noise), rounding, perKelvin * kelvin);
}
