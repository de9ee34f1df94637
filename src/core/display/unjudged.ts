// Why nothing in a log could be judged: 'nothing found' must not be said of rows that no detector has looked at.
import { learningLayers, longPhase } from '../change/cycle.ts';
import { blockShapes } from '../change/blockShapes.ts';
import { count, countOf } from './numberFormat.ts';

/** Of a log: its rows, and how many layers they go through, whatever their numbers; 0 where it has none. */
export interface ReadSoFar {
  readonly rows: number;
  readonly layers: number;
}

/** Samples that the shortest test compares. */
const fewestRows = Math.min(...blockShapes.map(({ length, before }) => length + before));

/** What a log with layers is not judged in, and why; to be gone on with. */
export const onlyTeaching = `the first ${count(learningLayers)} layers only teach how layers usually go`;

/** One sentence, without naming the log; '' where rows were judged. */
export function unjudged({ rows, layers }: ReadSoFar): string {
  if (rows === 0) return 'Nothing to judge: the log has no rows.';
  if (layers > 0 && layers <= learningLayers && rows <= longPhase) {
    return `Too short to judge: ${onlyTeaching}, and the log has ${countOf(layers, 'layer', 'layers')}.`;
  }
  if (rows >= fewestRows) return '';
  return `Too short to judge: it has ${countOf(rows, 'row', 'rows')}, and ${count(fewestRows)} are compared at least.`;
}
