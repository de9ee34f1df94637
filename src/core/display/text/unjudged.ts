// Why nothing in a log could be judged: 'nothing found' must not be said of rows that no detector has looked at.
import type { StrainEvent } from '../../change/events.ts';
import { longPhase } from '../../change/cycle/cycle.ts';
import { learningLayers } from '../../change/cycle/cycleMemory.ts';
import { blockShapes } from '../../change/noise/blockShapes.ts';
import { carriesTemperature } from '../../header/logHeader.ts';
import type { LogHeader } from '../../header/logHeader.ts';
import { count, countOf } from '../numberFormat.ts';

/** Of a log: its rows, how many layers they go through, whatever their numbers (0 where it has none), and what was told. */
export interface ReadSoFar {
  readonly rows: number;
  readonly layers: number;
  readonly header: LogHeader | undefined;
  readonly events: readonly StrainEvent[];
}

/** Samples that the shortest test compares. */
const fewestRows = Math.min(...blockShapes.map(({ length, before }) => length + before));

/** What a log with layers is not judged in, and why; to be gone on with. */
export const onlyTeaching = `the first ${count(learningLayers)} layers only teach how layers usually go`;

/** Whether no channel of strain has given a reading yet: each is missing from the first row on. */
export function isSilent({ header, events }: Pick<ReadSoFar, 'header' | 'events'>): boolean {
  const missing = new Set(
    events
      .filter(({ kind, row, endTimeS }) => kind === 'dropout' && row === 0 && Number.isNaN(endTimeS))
      .flatMap(({ channels }) => channels),
  );
  if (!header || missing.size === 0) return false;
  return header.channels.every((channel, at) => carriesTemperature(channel) || missing.has(at));
}

/** One sentence, without naming the log; '' where rows were judged. */
export function unjudged({ rows, layers, header, events }: ReadSoFar): string {
  if (rows === 0) return 'Nothing to judge: the log has no rows.';
  if (isSilent({ header, events })) return 'Nothing to judge: no channel of strain ever reads.';
  if (layers > 0 && layers <= learningLayers && rows <= longPhase) {
    return `Too short to judge: ${onlyTeaching}, and the log has ${countOf(layers, 'layer', 'layers')}.`;
  }
  if (rows >= fewestRows) return '';
  return `Too short to judge: it has ${countOf(rows, 'row', 'rows')}, and ${count(fewestRows)} are compared at least.`;
}
