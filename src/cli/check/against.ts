// What is new in a change: the log as it stood at a git revision is analysed too, with the same settings, and what was
// found there already is left out. Lines move when a log is edited, so findings are told apart by what they say and,
// for problems, by the text of their line.
import { execFile, spawn } from 'node:child_process';
import { createReadStream } from 'node:fs';
import { mkdir, mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { promisify } from 'node:util';
import { headerEnding } from '../../core/besideLog.ts';
import type { Problem } from '../../core/problem.ts';
import type { CheckedEvent, CheckedLog, CheckOptions } from '../checkLogs.ts';
import { checkLogs, closeLogs } from '../checkLogs.ts';
import { InputError } from '../command.ts';

const run = promisify(execFile);
const companion = (path: string): string => `${path}${headerEnding}`;

/** Each log with only what is new against `ref`; a log that was not there before is wholly new. */
export async function onlyNew(
  logs: readonly CheckedLog[],
  ref: string,
  options: CheckOptions,
): Promise<readonly CheckedLog[]> {
  const folder = await mkdtemp(join(tmpdir(), 'underplate-'));
  try {
    const result: CheckedLog[] = [];
    for (const [at, log] of logs.entries()) result.push(await newIn(log, ref, join(folder, String(at)), options));
    return result;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function newIn(log: CheckedLog, ref: string, stem: string, options: CheckOptions): Promise<CheckedLog> {
  if (log.failure !== '') return log;
  const none = { ...log, before: { ref, problems: 0, events: 0 } };
  await requireRevision(log.path, ref);
  // Under its own name, which messages may hold.
  const old = join(stem, basename(log.path));
  await mkdir(stem);
  if (!(await takeOut(log.path, ref, old))) return none;
  await takeOut(companion(log.path), ref, companion(old));
  const [before] = await checkLogs([old], { ...options, io: { ...options.io, stderr: { write: () => true } } });
  await closeLogs(before ? [before] : []);
  // What cannot be read at the revision explains nothing away.
  if (!before || before.failure !== '') return none;
  const problems = await newProblems(log, before);
  const events = log.events.filter((one) => !before.events.some((other) => sameEvent(one, other, log, before)));
  return {
    ...log,
    problems,
    events,
    before: { ref, problems: log.problems.length - problems.length, events: log.events.length - events.length },
  };
}

/** An event keeps its id while the log's content stays; an edit before it may shift its onset by a row or so. */
function sameEvent(a: CheckedEvent, b: CheckedEvent, logA: CheckedLog, logB: CheckedLog): boolean {
  if (a.event.id === b.event.id) return true;
  if (a.event.kind !== b.event.kind || Math.abs(a.event.timeS - b.event.timeS) > stepS(logA) * 1.5) return false;
  return strongestCell(a, logA) === strongestCell(b, logB);
}

function strongestCell({ event }: CheckedEvent, { header }: CheckedLog): string {
  return (
    header?.cells[event.cells[0]?.cell ?? -1]?.name ?? event.channels.map((at) => header?.channels[at]?.name).join()
  );
}

function stepS({ analysis }: CheckedLog): number {
  const summary = analysis?.summary;
  return summary && summary.rows > 1 ? (summary.endS - summary.startS) / (summary.rows - 1) : 0;
}

/** As many of each kind as there are more of than before. */
async function newProblems(log: CheckedLog, before: CheckedLog): Promise<Problem[]> {
  const oldLines = await linesOf(before.path, before.problems);
  const newLines = await linesOf(log.path, log.problems);
  const known = new Map<string, number>();
  for (const problem of before.problems) {
    const key = keyOf(problem, oldLines);
    known.set(key, (known.get(key) ?? 0) + 1);
  }
  return log.problems.filter((problem) => {
    const key = keyOf(problem, newLines);
    const left = known.get(key) ?? 0;
    if (left > 0) known.set(key, left - 1);
    return left === 0;
  });
}

function keyOf({ code, message, range, file }: Problem, lines: ReadonlyMap<number, string>): string {
  // The companion has the name of its log, which is another where that was taken out.
  const line = file === undefined ? (lines.get(range.line) ?? '') : 'in the header beside it';
  return `${code}\n${message.replace(/\bline \d+/g, 'line #')}\n${line}`;
}

async function linesOf(path: string, problems: readonly Problem[]): Promise<Map<number, string>> {
  const wanted = new Set(problems.map(({ range }) => range.line));
  const found = new Map<number, string>();
  if (wanted.size === 0) return found;
  let number = 0;
  for await (const line of createInterface({ input: createReadStream(path), crlfDelay: Infinity })) {
    number++;
    if (wanted.has(number)) found.set(number, line);
    if (found.size === wanted.size) break;
  }
  return found;
}

async function requireRevision(path: string, ref: string): Promise<void> {
  await git(path, ['rev-parse', '--is-inside-work-tree']).catch((error: unknown) => {
    const missing = (error as NodeJS.ErrnoException).code === 'ENOENT';
    throw new InputError(
      missing ? '--against needs git, which is not installed' : `'${path}' lies in no git repository`,
    );
  });
  await git(path, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${ref}^{commit}`]).catch(() => {
    throw new InputError(`git knows no revision '${ref}' here; fetch it first (a shallow clone may lack it)`);
  });
}

/** The file as it stood, through the filters a checkout applies (line ends, large-file storage). False where it was not. */
async function takeOut(path: string, ref: string, to: string): Promise<boolean> {
  const object = `${ref}:./${basename(path)}`;
  const there = await git(path, ['cat-file', '-e', object]).then(
    () => true,
    () => false,
  );
  if (!there) return false;
  const file = await open(to, 'w');
  try {
    await intoFile(path, ['cat-file', '--filters', object], file.fd);
  } finally {
    await file.close();
  }
  return true;
}

/** Straight into the file, as a log may be larger than memory. */
function intoFile(path: string, args: readonly string[], to: number): Promise<void> {
  const child = spawn('git', args, { cwd: dirname(path), stdio: ['ignore', to, 'pipe'] });
  let complaint = '';
  child.stderr?.on('data', (chunk: Buffer) => (complaint += chunk.toString()));
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => {
      if (code === 0) resolve();
      else reject(new InputError(`git could not give '${args.at(-1) ?? ''}': ${complaint.trim()}`));
    });
  });
}

async function git(path: string, args: readonly string[]): Promise<void> {
  await run('git', args, { cwd: dirname(path) });
}
