// What was reported of a log, in the form in which it is scored: names instead of indices, so that truth, our events and a
// bench's other methods are compared alike.
import type { StrainEvent } from '../../core/change/events.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';

export interface Detection {
  readonly nature: 'mechanical' | 'thermal' | 'sensor';
  /** '' where the method tells no kind. */
  readonly kind: string;
  /** Onset, and when it became known. */
  readonly timeS: number;
  readonly detectedTimeS: number;
  /** Cells concerned, strongest first; empty means the whole plate. */
  readonly cells: readonly string[];
  /** Columns concerned, for sensor events. */
  readonly channels: readonly string[];
  /** NaN where the method gives no place. */
  readonly originM: readonly [number, number];
  readonly part: string;
}

export function detectionOf(event: StrainEvent, header: LogHeader): Detection {
  return {
    nature: event.nature,
    kind: event.kind,
    timeS: event.timeS,
    detectedTimeS: event.detectedTimeS,
    cells: [...new Set(event.cells.map(({ cell }) => header.cells[cell]!.name))],
    channels: event.channels.map((channel) => header.channels[channel]!.name),
    originM: event.originM,
    part: event.part,
  };
}
