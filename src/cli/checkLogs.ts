// Several logs -> what was found in each: problems, events with the verdicts of the notes, or why it cannot be read.
// Logs are read in parallel; the answer is in the order asked for, whatever finished first.
import { availableParallelism } from 'node:os';
import type { StrainEvent } from '../core/change/events.ts';
import { isSilent } from '../core/display/text/unjudged.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import { notALog } from '../core/header/fileHead/notALog.ts';
import { judgeEvents } from '../core/notes/judge.ts';
import type { Judgement } from '../core/notes/judge.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import { wholeLine } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import type { FileAnalysis } from '../worker/analyseFile.ts';
import type { Analyse } from './analyse.ts';
import { InputError } from './command.ts';
import type { Io } from './command.ts';
import { shownPath } from './findLogs.ts';
import { noteProblems } from './noteProblems.ts';
import { readNotesFile } from './notesFile.ts';
import type { NotesOnDisk } from './notesFile.ts';
import { Progress } from './progress.ts';
import { reasonOf } from './writeWhole.ts';

export interface CheckedEvent {
  readonly event: StrainEvent;
  readonly judgement: Judgement;
}

export interface CheckedLog {
  readonly path: string;
  /** As shown: from the working folder, forward slashes. */
  readonly shown: string;
  /** '' unless the log could not be read. */
  readonly failure: string;
  readonly analysis: FileAnalysis | undefined;
  readonly header: LogHeader | undefined;
  readonly problems: readonly Problem[];
  readonly events: readonly CheckedEvent[];
  readonly notes: NotesOnDisk;
  /** Set by `--against`: what was there before and is left out. */
  readonly before: { readonly ref: string; readonly problems: number; readonly events: number } | undefined;
}

export interface CheckOptions {
  readonly settings: AnalysisSettings;
  readonly analyse: Analyse;
  readonly io: Io;
  /** Whether curves will be drawn. Default false. */
  readonly pyramid?: boolean;
}

/** The caller closes the logs (`closeLogs`) once nothing more is asked of them. */
export async function checkLogs(paths: readonly string[], options: CheckOptions): Promise<CheckedLog[]> {
  const { io } = options;
  const cores = availableParallelism();
  const atOnce = Math.max(1, Math.min(paths.length, cores));
  const workers = Math.max(1, Math.floor(cores / atOnce));
  const progress = new Progress(paths.length, io.stderr);
  const checked = new Array<CheckedLog>(paths.length);
  let next = 0;
  const run = async (): Promise<void> => {
    while (next < paths.length) {
      const at = next++;
      checked[at] = await checkLog(paths[at]!, workers, options, (part) => progress.at(at, part));
      progress.at(at, 1);
    }
  };
  try {
    await Promise.all(Array.from({ length: atOnce }, run));
  } finally {
    progress.clear();
  }
  return checked;
}

async function checkLog(
  path: string,
  workers: number,
  { settings, analyse, io, pyramid = false }: CheckOptions,
  onProgress: (part: number) => void,
): Promise<CheckedLog> {
  const notes = await readNotesFile(path);
  const checked = { path, shown: shownPath(path, io.cwd), notes, before: undefined };
  const unread = { ...checked, analysis: undefined, header: undefined, problems: [], events: [] };
  let analysis: FileAnalysis;
  try {
    analysis = await analyse(path, {
      settings,
      workers,
      pyramid,
      onProgress: ({ progress }) => onProgress(progress),
      signal: io.signal,
    });
  } catch (error) {
    if (io.signal.aborted) throw new InputError('stopped before the end; nothing was written');
    return { ...unread, failure: reasonOf(error) };
  }
  const { header, events } = analysis.summary;
  const ofNotes = header ? await noteProblems({ ...analysis, header }, notes, io.cwd) : [];
  const judgements = header ? judgeEvents(events, header, notes.notes) : [];
  return {
    ...checked,
    failure: '',
    analysis,
    header,
    problems: [...analysis.allProblems, ...nothingToJudge(analysis), ...ofNotes],
    events: events.map((event, at) => ({ event, judgement: judgements[at]! })),
  };
}

/** A check that finds nothing because there was nothing to look at must not pass for a sound log. */
function nothingToJudge({ summary, session }: FileAnalysis): Problem[] {
  if (!summary.header) return [];
  const range = wholeLine(session.parsed?.namesLine ?? 1);
  if (summary.rows === 0) {
    const message = 'no row of the log could be read, so nothing was analysed; wait until it has rows, or mend them';
    return [{ range, severity: 'error', code: 'rows-missing', message }];
  }
  if (!isSilent(summary)) return [];
  const message =
    'no channel of strain reads anything in any row, so nothing was judged; check that the interrogator was on and what its export left out';
  return [{ range, severity: 'error', code: 'readings-missing', message }];
}

/** False for what is no strain log at all; what is wrong with it stands in its failure or problems. */
export function isReadable({ failure, problems }: CheckedLog): boolean {
  return failure === '' && !problems.some(({ code }) => notALog.has(code));
}

export async function closeLogs(logs: readonly CheckedLog[]): Promise<void> {
  await Promise.all(logs.map(({ analysis }) => analysis?.close()));
}
