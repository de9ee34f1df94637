// Which events the list shows, and in what order.
import type { NoteMark } from '../../src/messages/view.ts';
import type { Choices } from '../choices.ts';
import type { StrainEvent } from '../logTypes.ts';

export type EventFilter = Pick<Choices, 'nature' | 'kind' | 'part' | 'verdict' | 'order'>;

const rank = { error: 0, warning: 1, information: 2 } as const;

export function shownEvents(
  events: readonly StrainEvent[],
  notes: readonly NoteMark[],
  filter: EventFilter,
): StrainEvent[] {
  return events
    .filter(({ nature }) => filter.nature === '' || nature === filter.nature)
    .filter(({ kind }) => filter.kind === '' || kind === filter.kind)
    .filter(({ part }) => filter.part === '' || part === filter.part)
    .filter((event) => filter.verdict === '' || (verdictOf(event, notes) || 'none') === filter.verdict)
    .sort((a, b) => compare(a, b, filter.order));
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
