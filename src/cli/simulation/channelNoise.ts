// Noise of one strain channel, in strain, of several colours: white (normal or Student's t), slow (first-order
// autoregressive), pink (a sum of first-order processes whose times are spaced by 4, which comes close to 1/f; after
// Keshner, Proceedings of the IEEE 70, 1982). Every part is stationary from the first sample and keeps its variance
// whatever the sample rate.
import type { NoiseScenario } from './scenario.ts';
import type { RandomStream } from './random.ts';

const pinkTimesS = [0.25, 1, 4, 16, 64, 256, 1024];

export class ChannelNoise {
  readonly #noise: NoiseScenario;
  readonly #random: RandomStream;
  readonly #keep: Float64Array;
  readonly #kick: Float64Array;
  readonly #state: Float64Array;

  constructor(noise: NoiseScenario, dtS: number, random: RandomStream) {
    this.#noise = noise;
    this.#random = random;
    const parts = [
      ...(noise.slow > 0 ? [{ size: noise.slow, timeS: noise.slowTimeS }] : []),
      ...(noise.pink > 0
        ? pinkTimesS.map((timeS) => ({ size: noise.pink / Math.sqrt(pinkTimesS.length), timeS }))
        : []),
    ];
    this.#keep = Float64Array.from(parts, ({ timeS }) => Math.exp(-dtS / timeS));
    this.#kick = Float64Array.from(parts, ({ size }, i) => size * Math.sqrt(1 - this.#keep[i]! ** 2));
    this.#state = Float64Array.from(parts, ({ size }) => size * random.normal());
  }

  next(): number {
    const { white, tailDegrees } = this.#noise;
    let value = white === 0 ? 0 : white * (tailDegrees > 2 ? this.#random.student(tailDegrees) : this.#random.normal());
    for (let i = 0; i < this.#state.length; i++) {
      this.#state[i] = this.#state[i]! * this.#keep[i]! + this.#kick[i]! * this.#random.normal();
      value += this.#state[i]!;
    }
    return value;
  }
}

/** Standard deviation of one sample. */
export function noiseSize(noise: NoiseScenario): number {
  return Math.sqrt(noise.white ** 2 + noise.slow ** 2 + noise.pink ** 2 + noise.common ** 2);
}
