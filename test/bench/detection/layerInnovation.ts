// What is new in one channel's strain: the value minus what the layer's cycle and the slow growth let expect, in multiples
// of the channel's noise. The common ground on which the bench's textbook methods work; written apart from the product's
// own innovation. Causal.
// The cycle is the mean of earlier layers at the same sample of the layer (weight 1/4 for the latest); the level and the
// noise follow slowly: level with a time of one minute, noise from the median size of the innovations of 256 samples.

const cycleWeight = 0.25;
const levelTimeS = 60;
const noiseSamples = 256;

export class LayerInnovation {
  readonly #cycle: number[] = [];
  readonly #sizes: number[] = [];
  readonly #levelWeight: number;
  #level = NaN;
  #sigma = NaN;

  constructor(rateHz: number) {
    this.#levelWeight = 1 - Math.exp(-1 / (levelTimeS * rateHz));
  }

  /** `place`: samples since the layer began. NaN while nothing is known yet, and for a missing value. */
  next(value: number, place: number): number {
    if (Number.isNaN(value)) return NaN;
    if (Number.isNaN(this.#level)) this.#level = value;
    const departure = value - this.#level;
    const usual = this.#cycle[place];
    const innovation = departure - (usual ?? 0);
    this.#cycle[place] = usual === undefined ? departure : usual + cycleWeight * innovation;
    this.#level += this.#levelWeight * (usual === undefined ? departure : innovation);
    if (usual === undefined) return NaN;
    const scaled = innovation / this.#sigma;
    this.#learn(Math.abs(innovation));
    return scaled;
  }

  #learn(size: number): void {
    this.#sizes.push(size);
    if (this.#sizes.length < noiseSamples) return;
    this.#sizes.sort((a, b) => a - b);
    const sigma = 1.482602 * this.#sizes[noiseSamples >> 1]!;
    if (sigma > 0) this.#sigma = Number.isNaN(this.#sigma) ? sigma : Math.sqrt(this.#sigma * sigma);
    this.#sizes.length = 0;
  }
}
