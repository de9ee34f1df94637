// The watch over blows that are over within a sample: when their test looks, and what the cell tells of one. It sees one sample
// only, so it tells the size and how surprising that is; the plate stage asks whether other cells felt it, too.
import { blowDue, blowMask, blowSide, countBlow, learnBlow, lookAtBlow, standsOff } from '../blocks/blowTest.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import type { BlowLook, BlowTestState } from '../blocks/blowTest.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import { judgedSpan } from '../cycle/cycle.ts';
import { onsetOf, phaseIndex } from '../confirm/onset.ts';
import { tensorAlong } from '../confirm/rosetteChange.ts';
import { soloVerdict } from '../confirm/soloist.ts';
import type { Sight } from '../confirm/sight.ts';
import type { BlowFinding } from '../findings.ts';
import { knownNow, slot } from '../history.ts';
import { instantIn } from '../readings/heatWatch.ts';
import { inverse } from '../noise/symmetric.ts';
import type { Span } from './span.ts';
import type { StatisticWatch } from './watchedStatistic.ts';
import { markRestless, unrestAt } from '../cycle/unrest.ts';

/** Twice the log of the odds against one channel from which what one cell alone felt is its metal's. */
const loneBlow = 10;

export class BlowWatch {
  readonly #frame: CellFrame;
  readonly #state: CellDetectorState;
  readonly #statistic: StatisticWatch;
  readonly #look: BlowLook;
  /** Sum of squared distances of one sample from which it may be one: the upper thirtieth of chi-square, about. */
  readonly #stirLimit: number;
  /** The last look is worth telling. */
  #found = false;

  constructor(frame: CellFrame, state: CellDetectorState, statistic: StatisticWatch) {
    this.#frame = frame;
    this.#state = state;
    this.#statistic = statistic;
    const tested = frame.channels.length;
    this.#stirLimit = tested + 2.3 * Math.sqrt(2 * tested);
    const perComponent = (): Float64Array => new Float64Array(frame.dimension);
    this.#look = { surprise: 0, sigmas: 0, byLaw: 0, unrest: 1, delta: perComponent(), rest: perComponent() };
  }

  /** Goes on to row `k` of a span; true where there is something to tell. */
  look({ stir, intervalS }: Span, k: number, place: number): boolean {
    const { blow, tests, history } = this.#state;
    const n = history.count;
    if ((n & blowMask) === 0) learnBlow(blow!, tests!, history);
    const stirred = stir[k]! > this.#stirLimit;
    if (!stirred && blow!.at === 0) return false;
    return blowDue(blow!, n, stirred ? stir[k]! : 0) && this.#lookNow(place, intervalS[k]!);
  }

  #lookNow(place: number, intervalS: number): boolean {
    const { blow, tests, history, cycle } = this.#state;
    if (2 * blowSide + 1 > judgedSpan(cycle, place)) return false;
    const look = this.#look;
    if (!standsOff(blow!, tests!, history)) return false;
    if (!lookAtBlow(blow!, tests!, history, unrestAt(cycle, place, 0), place >= 0, look)) return false;
    this.#found = look.surprise >= this.#statistic.suspectedBlow(intervalS);
    if (!this.#found) countBlow(blow!, look);
    return this.#found;
  }

  /** Tells what the last look found. */
  tell(place: number, { placeKnown, intervalS, findings }: Sight): void {
    if (!this.#found) return;
    this.#found = false;
    const { blow, tests, history, cycle } = this.#state;
    const look = this.#look;
    const isSure = look.surprise >= this.#statistic.neededOfBlow(intervalS);
    const alone = isSure && soloOf(blow!, tests!, look, this.#frame.design) < -loneBlow;
    if (placeKnown && alone) markRestless(cycle, place);
    else countBlow(blow!, look);
    if (!placeKnown || blow!.untaught > 0) return;
    const { cell, first, channels, rosettes } = this.#frame;
    const onset = onsetOf(history, history.count - blowSide - 1);
    const delta = channels.map((_, c) => look.delta[first + c]!);
    const present = channels.map((_, c) => tests!.there[first + c] !== 0);
    const finding: BlowFinding = {
      what: 'blow',
      cell,
      ...knownNow(history),
      ...instantIn(onset),
      channels: [],
      surprise: look.surprise,
      alone,
      sigmas: look.sigmas,
      delta: delta.map((d, c) => (present[c] ? d : NaN)),
      changes: rosettes.map((r) => ({ plane: r.plane, change: tensorAlong(r, delta, present) })),
      phase: phaseIndex(onset.phase),
      intervalS,
      endTimeS: history.timeS[slot(history.count - blowSide + 1)]!,
    };
    findings.push(finding);
  }
}

/** Twice the log of the odds that one of the channels alone did it; `design`: what a tensor change does to them. */
function soloOf(
  { scatter: { dimension, whitener } }: BlowTestState,
  { first, there }: BlockTestsState,
  { rest, unrest }: BlowLook,
  design: CellFrame['design'],
): number {
  const all = Array.from({ length: dimension - first }, (_, c) => first + c);
  const product = (a: number, b: number): number =>
    all.reduce((sum, i) => sum + whitener[i * dimension + a]! * whitener[i * dimension + b]!, 0);
  const covariance = inverse(
    all.flatMap((a) => all.map((b) => product(a, b) / unrest)),
    all.length,
  );
  const present = all.filter((j) => there[j] !== 0).map((j) => j - first);
  const precision = inverse(
    present.flatMap((a) => present.map((b) => covariance[a * all.length + b]!)),
    present.length,
  );
  const delta = present.map((c) => rest[first + c]!);
  const { evidence } = soloVerdict(
    delta,
    precision,
    present.map((c) => design[c]!),
  );
  return evidence;
}
