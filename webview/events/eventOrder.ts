// Which events the list shows, and in what order.
import type { NoteMark } from '../../src/messages/view.ts';
import type { Choices } from '../choices.ts';
import type { StrainEvent } from '../logTypes.ts';

export type EventFilter = Pick<Choices, 'nature' | 'kind' | 'part' | 'verdict' | 'order'>;

/** Gravest first. */
export const rank = { error: 0, warning: 1, information: 2 } as const;

/** The filter that lets all through. */
export const openFilter = { nature: '', kind: '', part: '', verdict: '' } as const;

export function shownEvents(
  events: readonly StrainEvent[],
  notes: readonly NoteMark[],
  filter: EventFilter,
): StrainEvent[] {
  return events.filter((event) => passes(event, notes, filter)).sort((a, b) => compare(a, b, filter.order));
}

/** Whether the filter lets an event through. */
export function passes(event: StrainEvent, notes: readonly NoteMark[], filter: Omit<EventFilter, 'order'>): boolean {
  return (
    (filter.nature === '' || event.nature === filter.nature) &&
    (filter.kind === '' || event.kind === filter.kind) &&
    (filter.part === '' || event.part === filter.part) &&
    (filter.verdict === '' || (verdictOf(event, notes) || 'none') === filter.verdict)
  );
}

/** The verdict of the last note on the event that gives one, '' where none does. */
export function verdictOf(event: StrainEvent, notes: readonly NoteMark[]): NoteMark['verdict'] {
  return notes.findLast(({ eventId, verdict }) => eventId === event.id && verdict !== '')?.verdict ?? '';
}

/** Largest size of the change over all cells, dimensionless; 0 where no cell has a tensor. */
export function eventSize({ cells }: StrainEvent): number {
  return cells.reduce((most, { change }) => {
    const size = Math.hypot(...change);
    return Number.isFinite(size) ? Math.max(most, size) : most;
  }, 0);
}

function compare(a: StrainEvent, b: StrainEvent, order: EventFilter['order']): number {
  const byTime = a.timeS - b.timeS;
  if (order === 'time') return byTime;
  if (order === 'size') return eventSize(b) - eventSize(a) || byTime;
  return rank[a.severity] - rank[b.severity] || byTime;
}
