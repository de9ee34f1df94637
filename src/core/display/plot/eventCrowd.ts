// How events stand on a time plot: as bands over its whole height, unless there are so many that they would hide the lines;
// then the graver ones are bands and all others ticks at the top edge. Page units.
import type { Severity } from '../../problem.ts';

export interface EventSpan {
  readonly severity: Severity;
  readonly fromPx: number;
  readonly toPx: number;
  /** Always a band. */
  readonly chosen: boolean;
}

/** Height of a tick at the top edge: the graver, the longer, so that colour is not the only key. */
export const tickPx: Readonly<Record<Severity, number>> = { error: 9, warning: 7, information: 5 };

/** Bands may take so much of a plot's width. */
const mostShare = 0.2;
/** What a band counts for: that with the gap it needs, and no more than so much of the width, since one long band is calm. */
const leastPx = 3;
const mostOfOne = 1 / 40;

/** `events`: those in sight, whatever their order. Answers with those that are drawn as bands. */
export function bandsAmong<Span extends EventSpan>(events: readonly Span[], widthPx: number): Set<Span> {
  const most = Math.max(leastPx, mostOfOne * widthPx);
  const room = (spans: readonly EventSpan[]): number =>
    spans.reduce((sum, { fromPx, toPx }) => sum + Math.min(most, Math.max(leastPx, toPx - fromPx)), 0);
  const bands = new Set(events.filter(({ chosen }) => chosen));
  for (const severity of ['error', 'warning', 'information'] as const) {
    const more = events.filter((one) => one.severity === severity);
    if (room([...new Set([...bands, ...more])]) > mostShare * widthPx) break;
    for (const one of more) bands.add(one);
  }
  return bands;
}
