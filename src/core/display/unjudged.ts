// Why nothing in a log could be judged: 'nothing found' must not be said of rows that no detector has looked at.
import { learningLayers, longPhase } from '../change/cycle.ts';
import { blockShapes } from '../change/blockShapes.ts';
import { count, countOf } from './numberFormat.ts';

/** Of a log: its rows and the number of its last layer, -1 where it has none. */
export interface ReadSoFar {
  readonly rows: number;
  readonly lastLayer: number;
}

/** Samples that the shortest test compares. */
const fewestRows = Math.min(...blockShapes.map(({ length, before }) => length + before));

/** One sentence, without naming the log; '' where rows were judged. */
export function unjudged({ rows, lastLayer }: ReadSoFar): string {
  if (rows === 0) return 'Nothing to judge: the log has no rows.';
  if (lastLayer >= 0 && lastLayer < learningLayers && rows <= longPhase) {
    return (
      `Too short to judge: the first ${count(learningLayers)} layers only teach how layers usually go, ` +
      `and the log reaches layer ${count(lastLayer)}.`
    );
  }
  if (rows >= fewestRows) return '';
  return `Too short to judge: it has ${countOf(rows, 'row', 'rows')}, and ${count(fewestRows)} are compared at least.`;
}
