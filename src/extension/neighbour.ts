// The next and the previous event from a line of the log.
import type { StrainEvent } from '../core/change/events.ts';

/** `step` 1: the first event after `line`; -1: the last before it; from the other end where there is none. */
export function neighbour<E extends Pick<StrainEvent, 'line'>>(
  events: readonly E[],
  line: number,
  step: 1 | -1,
): E | undefined {
  const ordered = [...events].sort((a, b) => a.line - b.line);
  if (step === 1) return ordered.find((event) => event.line > line) ?? ordered[0];
  return ordered.findLast((event) => event.line < line) ?? ordered.at(-1);
}
