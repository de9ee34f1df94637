// What the user has chosen in the page: the one state that every panel reads and changes. Kept by the editor over hiding,
// reload and restart. Times in seconds; NaN means 'the whole log' for the window and 'none' for a cursor.

export type MapView = 'strain' | 'stress' | 'moments' | 'forces' | 'before' | 'after' | 'difference';
export type PlateView = 'map' | 'traces' | 'table';
export type EventOrder = 'severity' | 'time' | 'size';

export interface Choices {
  readonly fromS: number;
  readonly toS: number;
  readonly cursorS: number;
  /** Where the pointer hovers; NaN where nowhere. Not kept. */
  readonly hoverS: number;
  /** A stretch of lines selected in the text. */
  readonly selectedFromS: number;
  readonly selectedToS: number;
  readonly cell: number;
  readonly plane: number;
  /** -1 for none. */
  readonly comparedCell: number;
  /** Names of quantity groups, see plots/quantityGroups.ts. */
  readonly groups: readonly string[];
  readonly alignReferenceBy: 'time' | 'layer';
  readonly eventId: string;
  readonly plateView: PlateView;
  readonly mapView: MapView;
  /** Suffix of the quantity drawn as a surface, '' for none. */
  readonly surface: string;
  /** Filters of the event list; '' lets all through. */
  readonly nature: string;
  readonly kind: string;
  readonly part: string;
  readonly verdict: string;
  readonly order: EventOrder;
  /** Names of the good builds whose bands were put on show, one a line; '' for none. */
  readonly bandsShownOf: string;
}

export const firstChoices: Choices = {
  fromS: NaN,
  toS: NaN,
  cursorS: NaN,
  hoverS: NaN,
  selectedFromS: NaN,
  selectedToS: NaN,
  cell: -1,
  plane: -1,
  comparedCell: -1,
  groups: ['principal', 'direction'],
  alignReferenceBy: 'time',
  eventId: '',
  plateView: 'map',
  mapView: 'strain',
  surface: '',
  nature: '',
  kind: '',
  part: '',
  verdict: '',
  order: 'severity',
  bandsShownOf: '',
};

type Listener = (choices: Choices) => void;

export class ChoiceStore {
  #choices: Choices;
  readonly #listeners: { readonly keys: readonly (keyof Choices)[]; readonly listener: Listener }[] = [];

  constructor(saved: unknown) {
    this.#choices = { ...firstChoices, ...fitting(saved) };
  }

  get now(): Choices {
    return this.#choices;
  }

  /** Where cursor, map and read-out stand: under the pointer if it hovers over a plot, else at the cursor. */
  get timeS(): number {
    return Number.isNaN(this.#choices.hoverS) ? this.#choices.cursorS : this.#choices.hoverS;
  }

  set(patch: Partial<Choices>): void {
    const before = this.#choices;
    const changed = (Object.keys(patch) as (keyof Choices)[]).filter((key) => !Object.is(before[key], patch[key]));
    if (changed.length === 0) return;
    this.#choices = { ...before, ...patch };
    for (const { keys, listener } of this.#listeners) {
      if (keys.some((key) => changed.includes(key))) listener(this.#choices);
    }
  }

  /** `listener` is called after any of `keys` changed. */
  on(keys: readonly (keyof Choices)[], listener: Listener): void {
    this.#listeners.push({ keys, listener });
  }
}

/** Those entries of a saved state that have the type of today's; the rest falls back to the first choices. */
function fitting(saved: unknown): Partial<Choices> {
  if (typeof saved !== 'object' || saved === null) return {};
  const entries = Object.entries(saved).filter(([key, value]) => {
    const model: unknown = (firstChoices as unknown as Record<string, unknown>)[key];
    return typeof value === typeof model && Array.isArray(value) === Array.isArray(model);
  });
  return { ...Object.fromEntries(entries), hoverS: NaN };
}
