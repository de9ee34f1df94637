// The words of an event that stands for others like it, in a log that tells no layers.
import { countOf } from '../../display/numberFormat.ts';
import type { StrainEvent } from '../events.ts';

/** An event that stands for what came again, up to a line, in a log that tells no layers. */
export function againEvent(event: StrainEvent, line: number): StrainEvent {
  const { message, evidence, folded } = event;
  if (folded === 0) return event;
  const text = `These cells changed alike ${countOf(folded, 'time', 'times')} more, up to line ${line}.`;
  return {
    ...event,
    message: `${message}; again up to line ${line}: a column \`layer\` would tell the cycle of the build from breaks`,
    evidence: [...evidence, { name: 'again', value: folded, unit: '', text }],
  };
}
