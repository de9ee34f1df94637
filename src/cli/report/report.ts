// `underplate report`: a log's quality record as one HTML page that needs nothing else. The same log, notes, settings
// and version give the same bytes: no date of making, no path of this machine stands in it.
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import { analyse } from '../analyse.ts';
import { buildOutlook } from './buildOutlook.ts';
import type { BuildOutlook } from './buildOutlook.ts';
import { checkLogs, closeLogs } from '../checkLogs.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { findOneLog } from '../findLogs.ts';
import { writeOutput } from '../output.ts';
import { inputsOfLog, refuseOverwriting } from '../overwriting.ts';
import { eventSections } from './reportEvents.ts';
import { foundSection, outlookSection } from './reportFound.ts';
import { noteLines, notesSection } from './reportNotes.ts';
import { reportPage } from './reportPage.ts';
import { cautionSection, datumSection, problemSection, recordSection, settingsSection } from './reportRecord.ts';
import { sickSection } from './reportSick.ts';
import { readSettings, settingOptions, settingUsage } from '../settings.ts';
import { version } from '../version.ts';

const usage = `Usage: underplate report [OPTIONS] LOG --output FILE.html

Writes the record of one build as a page to keep, print or send: what was found, with maps and curves, notes and
verdicts, build, plate, datum, settings, and the log's SHA-256. No script, nothing loaded from elsewhere; the same log,
notes and settings give the same bytes.

  --output FILE       the page ('-' for the terminal)

${settingUsage}

Exit code: 0 written, 2 unreadable log (the page, where it could be written, says why) or wrong usage.`;

const options = { output: { type: 'string', short: 'o' }, ...settingOptions } as const;

export const reportCommand: Command = { usage, run: report };

async function report(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const settings = readSettings(values);
  if (values.output === undefined) throw new UsageError('name the page to write with --output');
  const { name, path } = await findOneLog(positionals, io.cwd);
  await refuseOverwriting([{ option: '--output', file: values.output }], inputsOfLog(path), io.cwd);
  const logs = await checkLogs([path], { settings, analyse, io, pyramid: true });
  try {
    const [log] = logs;
    if (!log || log.failure !== '') throw new InputError(`'${name}' cannot be read: ${log?.failure ?? ''}`);
    await writeOutput(await reportOf(log), values.output, io);
    refuseUnread(log);
  } finally {
    await closeLogs(logs);
  }
  return 0;
}

/** The page records why a log could not be read; that must not pass for a build that was judged. @throws InputError */
function refuseUnread({ shown, header, analysis, problems }: CheckedLog): void {
  if (header && analysis && analysis.summary.rows > 0) return;
  const { range, message } = problems.find(({ severity }) => severity === 'error') ?? problems[0]!;
  const place = `${shown}:${range.line}:${range.column}`;
  throw new InputError(`${place}: nothing was analysed, and the page says so: ${message}`);
}

async function reportOf(log: CheckedLog): Promise<string> {
  const { header } = log;
  const name = basename(log.path);
  const title = header && header.build.name !== '' ? header.build.name : name;
  const lines = await noteLines(log);
  return reportPage({
    title,
    subtitle: [name, header?.build.started ?? '', 'plate strain record'].filter((text) => text !== '').join(' · '),
    sections: [
      await foundSection(log),
      header ? outlookSection(log, outlookOf(log)) : '',
      await eventSections(log, lines),
      sickSection(log),
      problemSection(log),
      notesSection(log, lines),
      recordSection(log, await fileHashes(log)),
      datumSection(log),
      header ? settingsSection(header) : '',
      cautionSection(),
    ].filter((text) => text !== ''),
    footer: `underplate ${version} · ${name}`,
  });
}

function outlookOf(log: CheckedLog): BuildOutlook {
  const { summary, session } = log.analysis!;
  return buildOutlook(log.header!, session.index?.layerStarts ?? [], summary.endS - summary.startS);
}

/** Of the log, its companion header and its notes, as far as they are there. */
async function fileHashes(log: CheckedLog): Promise<[string, string][]> {
  const hashes: [string, string][] = [];
  for (const { path } of inputsOfLog(log.path)) {
    const hash = await sha256(path);
    if (hash !== '') hashes.push([basename(path), hash]);
  }
  return hashes;
}

/** '' where the file is not there. */
async function sha256(path: string): Promise<string> {
  const hash = createHash('sha256');
  try {
    for await (const chunk of createReadStream(path)) hash.update(chunk as Buffer);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return '';
    throw error;
  }
  return hash.digest('hex');
}
