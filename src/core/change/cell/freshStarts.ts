// When a cell's watch begins afresh although nothing changed: after gaps, after a new rate, when the cycle has been learned,
// when a channel is back.
import { unlearn } from '../blocks/blockTests.ts';
import { forgetStir } from '../blocks/blowTest.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { ChangeWatch } from '../confirm/changeWatch.ts';
import { forgetLevels, forgetPlaces } from '../cycle/cycle.ts';
import { interruptHeat } from '../readings/heatWatch.ts';
import { restartAt } from '../history.ts';
import type { SlowWatch } from './slowWatch.ts';

export class FreshStarts {
  readonly #state: CellDetectorState;
  readonly #changes: ChangeWatch;
  readonly #slow: SlowWatch;

  constructor(state: CellDetectorState, changes: ChangeWatch, slow: SlowWatch) {
    this.#state = state;
    this.#changes = changes;
    this.#slow = slow;
  }

  /** The blocks before hold too little of a channel that is back: what follows is not compared with them. */
  beginBlocks(): void {
    const { history, watch, blow } = this.#state;
    restartAt(history, history.count + 1);
    if (blow) forgetStir(blow);
    this.#changes.interrupt(watch);
    this.#slow.restart();
  }

  /** The first layers taught the cycle; what was learned of noise beside it is worth little. */
  afterLearning(): void {
    this.beginBlocks();
    if (this.#state.tests) unlearn(this.#state.tests);
    this.#slow.unlearn();
  }

  /** After a gap, a clock set back or a new rate, what came before is no longer a yardstick. */
  interrupt(newRate: boolean): void {
    const { value, flat, cycle, heat, tests } = this.#state;
    value.fill(NaN);
    flat.fill(NaN);
    forgetLevels(cycle);
    interruptHeat(heat);
    this.beginBlocks();
    if (!newRate) return;
    forgetPlaces(cycle);
    if (!tests) return;
    unlearn(tests);
    this.#slow.begin();
  }
}
