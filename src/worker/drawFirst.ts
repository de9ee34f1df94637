// A log read in two passes: the first gives all that is drawn of it, at once; the second, many times as long, what happened
// in it. Together they are the state of one pass that did both.
import type { WorkPart } from '../core/pipeline/cellWork.ts';
import type { SessionState } from '../core/session.ts';
import { changedMeanwhile } from './knownLog.ts';

/** Share of the time that the first pass takes; for the progress only. */
const drawingShare = 0.2;

/** One pass over the log; `since` and `until` are its part of the whole work. Undefined where the log cannot be cut. */
type Pass = (part: WorkPart, since: number, until: number) => Promise<SessionState | undefined>;

/**
 * The second pass begins when `onDrawn` is done.
 * @throws Error, in words for the user, where the passes saw different logs.
 */
export async function drawFirst(
  pass: Pass,
  onDrawn: (state: SessionState) => Promise<void>,
): Promise<SessionState | undefined> {
  const drawn = await pass('draw', 0, drawingShare);
  if (!drawn) return undefined;
  await onDrawn(drawn);
  const found = await pass('find', drawingShare, 1);
  if (!found || found.flow.offset !== drawn.flow.offset || found.flow.index.rows !== drawn.flow.index.rows) {
    throw new Error(changedMeanwhile);
  }
  return { ...found, works: found.works.map((work, i) => ({ ...work, pyramid: drawn.works[i]!.pyramid })) };
}
