// A session as the summary that is sent to the view and the command.
import type { StrainEvent } from '../core/change/events.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import { watchedSeries } from '../core/pipeline/watchedSeries.ts';
import type { Session } from '../core/session.ts';
import { seriesCatalog } from '../core/strain/seriesCatalog.ts';
import { rank } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import type { LogSummary, ReadingState } from '../messages/analysis.ts';

/** Problems sent at once; the rest are asked for. */
const problemsInSummary = 1000;

/** What a session does not know of itself. */
export interface ReadingFacts {
  readonly name: string;
  readonly state: ReadingState;
  readonly reading: number;
  readonly bytes: number;
  readonly progress: number;
  readonly failure: string;
  readonly gone?: boolean;
  /** Known before the session does: a parallel scan's rows and events so far, a preview's last time. */
  readonly rows?: number | undefined;
  readonly events?: readonly StrainEvent[] | undefined;
  readonly endS?: number | undefined;
}

export function summarise(session: Session | undefined, facts: ReadingFacts): LogSummary {
  const header = session?.basis?.header ?? session?.parsed?.header;
  const index = session?.index;
  const problems = session?.problems ?? [];
  const first = index?.entryBefore(0);
  const lastLayer = index?.layerAtRow(index.rows - 1)?.layer;
  return {
    name: facts.name,
    state: facts.state,
    reading: facts.reading,
    progress: facts.progress,
    failure: facts.failure,
    gone: facts.gone ?? false,
    bytes: facts.bytes,
    rows: facts.rows ?? session?.rows ?? 0,
    lines: index?.last.line ?? 0,
    header,
    namesLine: session?.parsed?.namesLine ?? 0,
    startS: first?.timeS ?? 0,
    endS: finite(index?.last.timeS) ?? facts.endS ?? 0,
    lastLayer: lastLayer ?? -1,
    layers: index?.layerCount ?? 0,
    problems: worstFirst(problems).slice(0, problemsInSummary),
    problemCount: problems.length,
    events: facts.events ?? session?.events ?? [],
    datum: session?.basis?.context.report,
    series: session?.basis ? seriesOf(session.basis.header) : [],
  };
}

/** Made once a header: a summary is told at every row of a followed log. */
const catalogs = new WeakMap<LogHeader, LogSummary['series']>();

function seriesOf(header: LogHeader): LogSummary['series'] {
  const known = catalogs.get(header) ?? [...seriesCatalog(header), ...watchedSeries(header)];
  catalogs.set(header, known);
  return known;
}

export function worstFirst(problems: readonly Problem[]): Problem[] {
  return [...problems].sort((a, b) => rank(a) - rank(b) || a.range.line - b.range.line);
}

function finite(value: number | undefined): number | undefined {
  return value !== undefined && Number.isFinite(value) ? value : undefined;
}
