// What an analysis answers, whoever asks (view, extension, tests): the calls, their arguments and replies.
// All of it is structured-cloneable. Times in seconds, lines from 1, rows from 0 among accepted rows.
import type { LogHeader } from '../core/header/logHeader.ts';
import type { Problem } from '../core/problem.ts';
import type { StrainEvent } from '../core/change/events.ts';
import type { DatumReport } from '../core/strain/datumReport.ts';
import type { PlateAtRow } from '../core/strain/plateState.ts';
import type { SeriesEntry } from '../core/strain/seriesCatalog.ts';
import type { SickSpell } from '../core/strain/sickSpell.ts';
import type { RowPlace } from '../core/table/rowReader.ts';

/** `sampled`: a first look by some of the rows; `drawn`: windows are exact, events still being looked for. */
export type ReadingState = 'reading' | 'sampled' | 'drawn' | 'complete' | 'following' | 'stopped' | 'failed';

/** Whether more will be known of the log as it stands. */
export function isUnderWay(state: ReadingState): boolean {
  return state === 'reading' || state === 'sampled' || state === 'drawn';
}

/** Whether the log has been read to where it ends for now: what was not found by then is not there. */
export function isReadToEnd(state: ReadingState): boolean {
  return state === 'complete' || state === 'following';
}

export type { SeriesEntry as SeriesInfo } from '../core/strain/seriesCatalog.ts';

/** Everything small about one log; of what changes, only that is sent (summaryChanges.ts). */
export interface LogSummary {
  readonly name: string;
  readonly state: ReadingState;
  /** Counts readings from the log's start; of another one, rows may be gone or others. 0 before the first. */
  readonly reading: number;
  /** 0 to 1. */
  readonly progress: number;
  /** Why the state is `failed`, with the remedy; in another state what went wrong beside the reading. */
  readonly failure: string;
  /** A log that was followed is not there any more; `failure` says what may have become of it. */
  readonly gone: boolean;
  readonly bytes: number;
  readonly rows: number;
  readonly lines: number;
  /** Undefined when the header has errors that stop the analysis. */
  readonly header: LogHeader | undefined;
  /** 1-based line of the row of column names. */
  readonly namesLine: number;
  readonly startS: number;
  readonly endS: number;
  /** Number of the last layer, -1 where there is none. */
  readonly lastLayer: number;
  /** Layers gone through so far, whatever their numbers. */
  readonly layers: number;
  /** Worst first, capped; `problemCount` counts all entries, each of which tells how many more are folded into it. */
  readonly problems: readonly Problem[];
  readonly problemCount: number;
  readonly events: readonly StrainEvent[];
  readonly datum: DatumReport | undefined;
  readonly series: readonly SeriesEntry[];
}

/** Problems found, those that were folded into one entry with others counted one by one. */
export function problemsFound({ problems, problemCount }: LogSummary): number {
  const folded = problems.reduce((sum, problem) => sum + (problem.folded ?? 0), 0);
  return problemCount + folded;
}

/** What is known of a log before anything has been read. */
export function emptySummary(name: string): LogSummary {
  return {
    name,
    state: 'reading',
    reading: 0,
    progress: 0,
    failure: '',
    gone: false,
    bytes: 0,
    rows: 0,
    lines: 0,
    header: undefined,
    namesLine: 0,
    startS: 0,
    endS: 0,
    lastLayer: -1,
    layers: 0,
    problems: [],
    problemCount: 0,
    events: [],
    datum: undefined,
    series: [],
  };
}

export interface WindowRequest {
  /** None: only the layers are wanted, and all of them. */
  readonly series: readonly string[];
  readonly fromS: number;
  readonly toS: number;
  /** Width of the drawing in device pixels. */
  readonly pixels: number;
  /** Answer at once from the pyramid, without reading the log again; `exact` is then false. */
  readonly quick?: boolean;
}

/**
 * Points ready to draw. Either raw rows (`columns` 0), or `columns` pixel columns of four points each:
 * first, the two extremes in their order of occurrence, last. NaN is a gap.
 */
export interface WindowReply {
  readonly columns: number;
  readonly timeS: Float64Array;
  readonly values: readonly Float64Array[];
  /** False while only sampled rows or coarse extremes are known. */
  readonly exact: boolean;
  /** Only sampled rows are known: there is no more to be had until the log's state changes. */
  readonly sampled?: boolean;
  /** First row's time of each layer inside the window, where series are drawn thinned to at most one per 8 pixels. */
  readonly layers: readonly { readonly layer: number; readonly timeS: number }[];
  /** For each series, the channels that its tensor does without, or that make it doubtful; left out: not known yet. */
  readonly sick?: readonly (readonly SickSpell[])[];
}

export type { SickSpell } from '../core/strain/sickSpell.ts';

/** All rosettes at one row: what the map draws. Order: layouts' cells, then their rosettes. */
export type {
  CellAtRow as CellState,
  PlateAtRow as PlateState,
  RosetteAtRow as RosetteState,
} from '../core/strain/plateState.ts';

export type PlaceRequest = { readonly line: number } | { readonly timeS: number } | { readonly row: number };

/** Lines of an excerpt at most. */
export const longestExcerpt = 2000;

export interface Excerpt {
  /** Line number of the first line. */
  readonly firstLine: number;
  readonly lines: readonly string[];
}

/** The calls. An implementation lives in the worker; a caller holds a proxy made by channel.ts. */
export interface AnalysisCalls {
  window(request: WindowRequest): Promise<WindowReply>;
  state(request: PlaceRequest): Promise<PlateAtRow | undefined>;
  place(request: PlaceRequest): Promise<RowPlace | undefined>;
  excerpt(request: { readonly line: number; readonly before: number; readonly after: number }): Promise<Excerpt>;
  /** All problems from `first`, for lists beyond the cap. */
  problems(request: { readonly first: number; readonly count: number }): Promise<readonly Problem[]>;
}
