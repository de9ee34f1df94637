// What is news about the events of a log that is being written: one that is told for the first time, one told that turned
// out to be of another nature (what looked like a crack was a channel that wanders), and one told that is taken back.
// How the size of an event settles is no news; what was told before the zero was fixed is told again where it reads otherwise.
import type { StrainEvent } from '../../core/change/events.ts';
import { rank } from '../../core/problem.ts';

export interface EventNews {
  readonly what: 'told' | 'corrected' | 'withdrawn';
  /** As it is now; of one taken back, as it was told last. */
  readonly event: StrainEvent;
}

export class FollowNews {
  /** Events of a rank beyond this are not told. */
  readonly #leastRank: number;
  /** By id, as told last; and those that need not be told. */
  readonly #told = new Map<string, StrainEvent>();
  readonly #passed = new Set<string>();
  /** By id, in what words: those told while the zero was open. */
  readonly #early = new Map<string, string>();

  constructor(leastRank: number) {
    this.#leastRank = leastRank;
  }

  /** These were there before: those that would be told are not. */
  pass(events: readonly StrainEvent[]): void {
    for (const event of events) if (rank(event) <= this.#leastRank) this.#passed.add(event.id);
  }

  /**
   * What is news since the last time, given all events as they are known now. `said` is how one is told; `zeroOpen` while
   * the log's datum window has not closed.
   */
  take(events: readonly StrainEvent[], said = wordsOf, zeroOpen = false): EventNews[] {
    const isOther = (event: StrainEvent, before: StrainEvent): boolean => {
      const early = zeroOpen ? undefined : this.#early.get(event.id);
      return before.nature !== event.nature || (early !== undefined && early !== said(event));
    };
    const news = events.flatMap((event): EventNews[] => {
      const before = this.#told.get(event.id);
      if (before) return isOther(event, before) ? [{ what: 'corrected', event }] : [];
      // One of less weight is told once it weighs enough.
      return rank(event) > this.#leastRank || this.#passed.has(event.id) ? [] : [{ what: 'told', event }];
    });
    const now = new Set(events.map(({ id }) => id));
    const gone = [...this.#told.values()].filter(({ id }) => !now.has(id));
    if (!zeroOpen) this.#early.clear();
    for (const { event } of news) {
      this.#told.set(event.id, event);
      if (zeroOpen) this.#early.set(event.id, said(event));
    }
    for (const { id } of gone) this.#told.delete(id);
    return [...news, ...gone.map((event): EventNews => ({ what: 'withdrawn', event }))];
  }
}

function wordsOf({ message }: StrainEvent): string {
  return message;
}
