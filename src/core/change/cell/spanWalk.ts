// A span of rows walked component by component: what its rows need is worked out beforehand, the components are followed
// through all of them, and through fewer again where a row turns out to need attention by itself.
import type { CellColumns } from './cellColumns.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import { goOn, placesAhead } from '../cycle/cyclePlaces.ts';
import { followComponent, keepFollowed, rememberPlaces, restorePlaces } from './followComponent.ts';
import { steadyRows, takeSteady } from '../pace.ts';
import { newSpan } from './span.ts';
import type { Span } from './span.ts';
import { quietNoises } from '../readings/spikes.ts';

export class SpanWalk {
  readonly span: Span;
  readonly #frame: CellFrame;
  readonly #state: CellDetectorState;
  readonly #leastNoise: Float64Array;
  /** Samples of the history before the span. */
  #begun = 0;

  /** `leastNoise`: by component, the least noise of one sample; read when it is needed. */
  constructor(frame: CellFrame, state: CellDetectorState, leastNoise: Float64Array) {
    this.#frame = frame;
    this.#state = state;
    this.#leastNoise = leastNoise;
    this.span = newSpan(frame.dimension);
  }

  /** Works out what the rows of a span need beforehand; cuts the span where time or layer do not simply go on. */
  plan(columns: CellColumns, i: number, most: number, place: number): number {
    const { pace, cycle, samples, tests } = this.#state;
    const { span } = this;
    const { intervalS, noiseGain, lag, calmGain } = span;
    // Numbers of the method stand here, not in front, so that the compiled loop holds them as numbers.
    /** Memory of the noise estimates, in samples: a minute or two at one a second. */
    const noiseMemory = 128;
    /** Noise is learned from every fourth sample. */
    const strideMask = 3;
    const strideGain = (0.5 * (strideMask + 1)) / noiseMemory;
    /** The noise at rest is learned by so much a sample, at first from all, as fast as it takes to come from anywhere; then from every fourth. */
    const lastCalmGain = 1 / 24;
    const firstCalm = 8;
    /** 2^32 over the golden ratio: multiples of it spread evenly, whatever rhythm the readings have. */
    const golden = 0x9e3779b1;
    let count = columns.time ? steadyRows(pace, columns.time, i, most, intervalS) : 1;
    intervalS[0] = pace.intervalS;
    if (place >= 0) count = placesAhead(cycle, columns, i, count, place, intervalS, span);
    else if (cycle.phases > 0) count = 1;
    for (let k = 0; k < count; k++) {
      const sample = samples + k + 1;
      const spread = Math.imul(sample, golden);
      lag[k] = spread >>> 30;
      const calmNow = firstCalm / (firstCalm + sample);
      calmGain[k] = calmNow > lastCalmGain ? calmNow : ((spread >>> 28) & strideMask) === 0 ? lastCalmGain : 0;
      if (tests === undefined && sample < noiseMemory) noiseGain[k] = 0.5 / (sample + 1);
      else noiseGain[k] = (sample & strideMask) === 0 ? strideGain : 0;
    }
    return count;
  }

  /** Walks the components through `rows` rows. */
  walk(values: readonly Float64Array[], from: number, rows: number, placed: boolean): void {
    const { cycle, history } = this.#state;
    this.#begun = history.count;
    if (placed && rows > 1) rememberPlaces(cycle, this.span, rows);
    this.#follow(values, from, rows, placed);
  }

  #follow(values: readonly Float64Array[], from: number, rows: number, placed: boolean): void {
    const { dimension } = this.#frame;
    const least = this.#leastNoise;
    this.span.wildRows.fill(0, 0, rows);
    for (let j = 0; j < dimension; j++) {
      followComponent(this.#state, j, this.#begun, values[j]!, from, rows, placed, least, this.span);
    }
  }

  /** Walks the components again, through fewer rows than the `most` that they have gone. */
  shorten(values: readonly Float64Array[], from: number, rows: number, most: number, placed: boolean): void {
    if (placed) restorePlaces(this.#state.cycle, this.span, most);
    this.#follow(values, from, rows, placed);
  }

  /** How much each row stirs; answers with the rows before the first wild one, which is walked alone. */
  tameRows(rows: number): number {
    const { first, dimension } = this.#frame;
    const { excess, stir } = this.span;
    let wild = this.#state.spikes.away > 0;
    for (let k = 0; k < rows; k++) {
      let sum = 0;
      for (let at = k * dimension + first; at < (k + 1) * dimension; at++) {
        const e = excess[at]!;
        sum += e * e;
        if (e > quietNoises || e < -quietNoises) wild = true;
      }
      stir[k] = sum;
      if (wild) return k;
    }
    return rows;
  }

  /** What the span has come to after `count` rows is kept: components, time and layer. */
  keep(columns: CellColumns, i: number, count: number, placed: boolean): void {
    const { pace, cycle } = this.#state;
    const { span } = this;
    keepFollowed(this.#state, span);
    if (count === 1) return;
    takeSteady(pace, count - 1, columns.time![i + count - 1]!, span.intervalS[count - 1]!);
    if (placed) goOn(cycle, count - 1);
  }
}
