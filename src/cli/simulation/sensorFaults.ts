// What sick sensors do to readings, one channel at a time, after the physics and the noise: missing, frozen, single wild
// values, a lasting offset, a slow walk away. Sizes are in strain; the caller turns them into the reading's unit.
import { sizeAsStrain } from './breaks.ts';
import type { BuildClock } from './buildClock.ts';
import { RandomStream } from './random.ts';
import type { FaultKind, Scenario } from './scenario.ts';

export interface Fault {
  readonly kind: FaultKind;
  readonly label: string;
  readonly fromS: number;
  /** Infinite where it lasts until the log ends. */
  readonly toS: number;
  /** What a wander takes to come to its size, and what spikes are scattered over: up to the build's end where not given. */
  readonly spanS: number;
  readonly channels: readonly number[];
  readonly sizeStrain: number;
  /** spike: the times, sorted. */
  readonly timesS: readonly number[];
}

export function sensorFaults(
  scenario: Scenario,
  clock: BuildClock,
  channelNames: readonly string[],
  sigma: number,
): Fault[] {
  return scenario.faults.map((item, index) => {
    const fromS = clock.timeOf(item.at);
    const spanS = Number.isFinite(item.lastsS) ? item.lastsS : Math.max(0, clock.endS - fromS);
    const random = new RandomStream(scenario.seed, `fault ${index}`);
    const times = Array.from({ length: item.count }, (_, i) => (i === 0 ? fromS : fromS + spanS * random.uniform()));
    return {
      kind: item.kind,
      label: item.label,
      fromS,
      toS: fromS + item.lastsS,
      spanS,
      channels: item.channels.map((name) => channelNames.indexOf(name)),
      sizeStrain: sizeAsStrain(item.size, sigma) * item.sign,
      timesS: item.kind === 'spike' ? times.sort((a, b) => a - b) : [],
    };
  });
}

/** Applies the faults of one channel in order of time of the rows. */
export class ChannelFaults {
  readonly #faults: readonly Fault[];
  readonly #perStrain: number;
  readonly #random: RandomStream;
  readonly #nextSpike: Int32Array;
  #walk = 0;
  #last = NaN;

  /** `perStrain`: the reading's change for a strain of 1. */
  constructor(faults: readonly Fault[], perStrain: number, random: RandomStream) {
    this.#faults = faults;
    this.#perStrain = perStrain;
    this.#random = random;
    this.#nextSpike = new Int32Array(faults.length);
  }

  apply(reading: number, timeS: number, dtS: number): number {
    let value = reading;
    this.#faults.forEach((fault, index) => {
      const on = timeS >= fault.fromS && timeS < fault.toS;
      if (fault.kind === 'dropout') value = on ? NaN : value;
      else if (fault.kind === 'stuck') value = on ? this.#last : value;
      else if (fault.kind === 'jump') value += on ? fault.sizeStrain * this.#perStrain : 0;
      else if (fault.kind === 'wander') value += this.#wander(fault, timeS, dtS) * this.#perStrain;
      else value += this.#spike(fault, index, timeS) * this.#perStrain;
    });
    if (!Number.isNaN(value)) this.#last = value;
    return value;
  }

  /** Half a steady drift, half a random walk; the size is what it has come to, on average, at the end. */
  #wander(fault: Fault, timeS: number, dtS: number): number {
    if (timeS < fault.fromS || timeS >= fault.toS) return 0;
    const share = dtS / fault.spanS;
    this.#walk += fault.sizeStrain * (share + 0.5 * Math.sqrt(share) * this.#random.normal());
    return this.#walk;
  }

  #spike(fault: Fault, index: number, timeS: number): number {
    const next = this.#nextSpike[index]!;
    if (next >= fault.timesS.length || timeS < fault.timesS[next]!) return 0;
    this.#nextSpike[index] = next + 1;
    const sign = this.#random.uniform() < 0.5 ? -1 : 1;
    return sign * fault.sizeStrain * this.#random.between(0.7, 1.5);
  }
}
