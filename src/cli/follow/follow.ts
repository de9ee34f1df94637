// `underplate follow`: watches a log that is being written and tells each event when it becomes known, as a line of text
// or JSON. A command may be run for each.
import type { StrainEvent } from '../../core/change/events.ts';
import { contractEvent, contractJudgement } from '../../core/contract/checkContract.ts';
import { countOf } from '../../core/display/numberFormat.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import type { Judgement } from '../../core/notes/judge.ts';
import { datumCode } from '../../core/pipeline/datumProblems.ts';
import { placeWords, rank, severities } from '../../core/problem.ts';
import type { Problem } from '../../core/problem.ts';
import type { Growth, LogAnalysis } from '../../worker/logAnalysis.ts';
import { fingerprintOf } from '../../worker/noteAnchors.ts';
import { watchFile } from '../../worker/watchFile.ts';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { runEventCommand } from './eventCommand.ts';
import { findOneLog, shownPath } from '../findLogs.ts';
import { eventFinding, problemFinding } from '../finding.ts';
import { FollowJudgements } from './followJudgements.ts';
import { FollowNews } from './followNews.ts';
import type { EventNews } from './followNews.ts';
import { FollowProblems } from './followProblems.ts';
import { findingLine, inColour } from '../formatText.ts';
import { oneOf, readSettings, settingOptions, settingUsage } from '../settings.ts';
import { oneLine } from '../terminalText.ts';
import { reasonOf } from '../writeWhole.ts';

const formats = ['text', 'json'] as const;

const usage = `Usage: underplate follow [OPTIONS] LOG

Watches a log that is being written and tells each event when it becomes known, and again where it turns out to be of
another nature, or to read otherwise once the log's zero is fixed ('corrected'), or nothing ('taken back'). It advises;
it is no safety interlock.

  --format text|json  a line of text, or of JSON with the keys of 'check --format json' and 'news': told, corrected or
                      withdrawn (text where not given)
  --level LEVEL       error, warning or information: least level told (warning where not given)
  --from-start        tell the events that are in the log already, too
  --on-event CMD      run CMD in a shell for each event told for the first time: the event as JSON on its standard
                      input, and UNDERPLATE_LOG, _EVENT, _KIND, _SEVERITY, _LINE, _TIME_S, _PART, _MESSAGE in its
                      environment; after 60 s it is stopped, with all that it started
  --idle SECONDS      end when nothing was added for so long; else Ctrl+C ends it

${settingUsage}

What is wrong with new rows goes to the standard error, with line and column. A row of names that is not there yet is
waited for. A log that is replaced or cut is read anew and followed on; one that is gone or cannot be read any more is
told, and still watched.

Exit code: 0 ended, 2 unreadable log (at the end, too) or wrong usage.`;

const options = {
  format: { type: 'string', default: 'text' },
  level: { type: 'string', default: 'warning' },
  'from-start': { type: 'boolean', default: false },
  'on-event': { type: 'string' },
  idle: { type: 'string' },
  ...settingOptions,
} as const;

/** Some file systems and writers give no notice of change: the size is looked at this often anyway. */
const lookEveryMs = 1000;

export const followCommand: Command = {
  usage,
  run: follow,
};

interface Following {
  readonly path: string;
  readonly format: (typeof formats)[number];
  readonly command: string | undefined;
  readonly io: Io;
  readonly leastRank: number;
  readonly judgements: FollowJudgements;
  /** Of the build that the log tells of now. */
  told: Told;
}

interface Told {
  /** Of `nameOf`. */
  readonly build: string;
  readonly news: FollowNews;
  readonly problems: FollowProblems;
}

async function follow(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const level = oneOf('--level', severities, values.level);
  const format = oneOf('--format', formats, values.format);
  const settings = readSettings(values);
  const idleMs = values.idle === undefined ? Infinity : Number(values.idle) * 1000;
  if (!(idleMs > 0)) throw new UsageError(`--idle needs a number of seconds above 0, got '${values.idle ?? ''}'`);
  const { name, path } = await findOneLog(positionals, io.cwd);

  const leastRank = rank({ severity: level });
  const command = values['on-event'];
  const judgements = new FollowJudgements(path, io);
  const following: Following = { path, format, command, io, leastRank, judgements, told: nothingTold('', leastRank) };
  const { openAnalysis } = await import('../openAnalysis.ts');
  const { analysis, close } = await openAnalysis(path, settings).catch((error: unknown) => {
    throw new InputError(`'${name}' cannot be read: ${reasonOf(error)}`);
  });
  try {
    await analysis.run(io.signal);
    const trouble = troubleOf(analysis, name);
    if (trouble !== '' && !awaitsNames(analysis)) throw new InputError(trouble);
    if (trouble === '') await begin(analysis, following, values['from-start']);
    await watchLog(analysis, following, idleMs);
    return troubleOf(analysis, name) === '' ? 0 : 2;
  } finally {
    await close();
  }
}

async function begin(analysis: LogAnalysis, following: Following, fromStart: boolean): Promise<void> {
  following.told = nothingTold(await nameOf(analysis), following.leastRank);
  if (!fromStart) {
    following.told.news.pass(analysis.summary.events);
    following.told.problems.take(problemsOf(analysis));
  }
  await tellNew(analysis, following);
  tellStart(analysis, following, 'none');
}

function nothingTold(build: string, leastRank: number): Told {
  return { build, news: new FollowNews(leastRank), problems: new FollowProblems(leastRank) };
}

/** What tells one build from another, however its log is cut, mended or grown; '' while there are too few rows to say. */
async function nameOf({ summary, queries }: LogAnalysis): Promise<string> {
  const { header } = summary;
  const firstRows = header && queries ? await fingerprintOf({ summary, header, calls: queries }) : '';
  return firstRows === '' ? '' : JSON.stringify([header?.build.name, header?.build.started, firstRows]);
}

/** Another build in the log's place has news of its own, and takes back nothing that was told of the one before. */
async function takeUpBuild(analysis: LogAnalysis, following: Following): Promise<void> {
  const { told, leastRank } = following;
  const build = await nameOf(analysis);
  if (build === told.build) return;
  if (told.build === '') following.told = { ...told, build };
  else {
    tellProblems(following, told.problems.rest());
    following.told = nothingTold(build, leastRank);
  }
}

function tellStart(analysis: LogAnalysis, { path, io }: Following, growth: Growth): void {
  const rows = countOf(analysis.summary.rows, 'row', 'rows');
  const anew = growth === 'anew' ? ' anew, since it was replaced or cut' : '';
  const zero = isZeroOpen(analysis)
    ? '; its datum window has not closed, so what is told before it has may be corrected'
    : '';
  io.stderr.write(`following ${shownPath(path, io.cwd)}${anew}, ${rows} so far${zero}\n`);
}

/** The row of names is not there yet, so the header is not judged. */
function awaitsNames({ session, summary }: LogAnalysis): boolean {
  return !summary.header && session?.head?.awaitsNames === true;
}

function isZeroOpen({ session }: LogAnalysis): boolean {
  return session?.head?.settled === false;
}

/** Whether a datum window is fit is not known before it has closed. */
function problemsOf(analysis: LogAnalysis, zeroOpen = isZeroOpen(analysis)): Problem[] {
  return (analysis.session?.problems ?? []).filter(({ code }) => !zeroOpen || code !== datumCode);
}

/** Why nothing can be told of the log as it is now; '' where it can. */
function troubleOf(analysis: LogAnalysis, name: string): string {
  const { failure, header, problems, state } = analysis.summary;
  if (state === 'failed') return `'${name}' cannot be read: ${failure}`;
  if (failure !== '') return `'${name}': ${failure}`;
  if (header || state === 'stopped') return '';
  if (awaitsNames(analysis)) return `'${name}' has no row of names yet`;
  const worst = problems[0];
  return `'${name}' cannot be followed: ${worst ? `${placeWords(worst)}: ${worst.message}` : 'no header'}`;
}

/** Until the user ends it or nothing was added for `idleMs`. */
async function watchLog(analysis: LogAnalysis, following: Following, idleMs: number): Promise<void> {
  const { io, path } = following;
  let wake: () => void = () => undefined;
  const unwatch = watchFile(path, () => wake());
  io.signal.addEventListener('abort', () => wake(), { once: true });
  let grownAt = Date.now();
  const shown = shownPath(path, io.cwd);
  let told = troubleOf(analysis, shown);
  if (told !== '') tellTrouble(told, io);
  try {
    while (!io.signal.aborted && Date.now() - grownAt < idleMs) {
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, Math.min(lookEveryMs, Math.max(1, grownAt + idleMs - Date.now())));
        wake = () => {
          clearTimeout(timer);
          resolve();
        };
      });
      if (io.signal.aborted) break;
      const growth = await analysis.readOn(io.signal);
      if (growth !== 'none') grownAt = Date.now();
      const trouble = troubleOf(analysis, shown);
      // Appended rows leave the build what it is, once it has a name.
      const mayBeOther = growth === 'anew' || told !== '' || following.told.build === '';
      if (trouble === '' && mayBeOther) await takeUpBuild(analysis, following);
      if (trouble !== '' && trouble !== told) tellTrouble(trouble, io);
      else if (trouble === '' && (told !== '' || growth === 'anew')) tellStart(analysis, following, growth);
      told = trouble;
      if (trouble === '' && growth !== 'none') await tellNew(analysis, following);
    }
    if (told === '' && analysis.summary.state !== 'stopped') await tellNew(analysis, following, false);
    tellProblems(following, following.told.problems.rest());
  } finally {
    unwatch();
  }
}

function tellTrouble(trouble: string, io: Io): void {
  io.stderr.write(`underplate follow: ${oneLine(trouble)}; it is still watched\n`);
}

/** `zeroOpen` false at the end, too: then the log is what it is. */
async function tellNew(analysis: LogAnalysis, following: Following, zeroOpen = isZeroOpen(analysis)): Promise<void> {
  const { header, events } = analysis.summary;
  if (!header) return;
  const { told, format, judgements } = following;
  tellProblems(following, told.problems.take(problemsOf(analysis, zeroOpen)));
  const said = (event: StrainEvent): string =>
    format === 'json'
      ? JSON.stringify(contractEvent(event, header))
      : `${event.severity} ${event.line} ${event.message}`;
  const news = told.news.take(events, said, zeroOpen);
  if (news.length === 0) return;
  const judged = await judgements.of([...events, ...news.map(({ event }) => event)], header);
  for (const one of news) await tell(one, judged.get(one.event.id)!, header, following);
}

/** Beside the events, which a program may read from the standard output. */
function tellProblems({ path, io }: Following, problems: readonly Problem[]): void {
  const shown = shownPath(path, io.cwd);
  for (const problem of problems) io.stderr.write(`${findingLine(problemFinding(problem, shown), false)}\n`);
}

/** Words before the message of an event that was told before. */
const againWords = { told: '', corrected: 'corrected: ', withdrawn: 'taken back: ' } as const;

async function tell(
  { what, event }: EventNews,
  judgement: Judgement,
  header: LogHeader,
  following: Following,
): Promise<void> {
  const { path, format, command, io } = following;
  const shown = shownPath(path, io.cwd);
  const json = JSON.stringify({
    schema: 'underplate-event/1',
    log: shown,
    news: what,
    ...contractEvent(event, header),
    ...contractJudgement(judgement),
  });
  const message = againWords[what] + event.message;
  const severity = what === 'withdrawn' ? 'information' : event.severity;
  const line = findingLine(eventFinding({ ...event, severity, message }, shown), inColour(io));
  io.stdout.write(format === 'json' ? `${json}\n` : `${line}\n`);
  // What acts on an event must not act again on its being taken back.
  if (command !== undefined && what === 'told') await runFor(event, shown, json, command, io);
}

async function runFor(event: StrainEvent, shown: string, json: string, command: string, io: Io): Promise<void> {
  const variables = {
    UNDERPLATE_LOG: shown,
    UNDERPLATE_EVENT: event.id,
    UNDERPLATE_KIND: event.kind,
    UNDERPLATE_SEVERITY: event.severity,
    UNDERPLATE_LINE: String(event.line),
    UNDERPLATE_TIME_S: String(event.timeS),
    UNDERPLATE_PART: event.part,
    UNDERPLATE_MESSAGE: event.message,
  };
  const failure = await runEventCommand({ command, variables, input: `${json}\n` }, io);
  if (failure !== '')
    io.stderr.write(`underplate follow: the command for event ${oneLine(event.id)} failed: ${oneLine(failure)}\n`);
}
