// Findings as lines that terminals make clickable and problem matchers read: `path:line:col: level: message [code]`,
// and one summary line for each log.
import { styleText } from 'node:util';
import { countOf } from '../core/display/numberFormat.ts';
import { unjudged } from '../core/display/text/unjudged.ts';
import { severities } from '../core/problem.ts';
import type { Severity } from '../core/problem.ts';
import type { CheckedLog } from './checkLogs.ts';
import type { Io } from './command.ts';
import { findingsOf, levelNames, sizeText, toldOf } from './finding.ts';
import type { Finding } from './finding.ts';
import { oneLine } from './terminalText.ts';

export interface TextOptions {
  readonly cwd: string;
  readonly colour: boolean;
}

const colours = { error: 'red', warning: 'yellow', information: 'cyan' } as const;

export function formatText(logs: readonly CheckedLog[], { cwd, colour }: TextOptions): string {
  const lines = logs.flatMap((log) => {
    const findings = findingsOf(log, cwd);
    return [...findings.map((finding) => findingLine(finding, colour)), summaryLine(log, findings)];
  });
  return `${lines.join('\n')}\n`;
}

export function findingLine(finding: Finding, colour: boolean): string {
  const { path, line, column, severity, code } = finding;
  const level = levelNames[severity];
  const shown = colour ? styleText(['bold', finding.dismissed ? 'gray' : colours[severity]], level) : level;
  return `${oneLine(path)}:${line}:${column}: ${shown}: ${oneLine(toldOf(finding))} [${code}]`;
}

function summaryLine(log: CheckedLog, findings: readonly Finding[]): string {
  if (log.failure !== '') return `${oneLine(log.shown)}: cannot be read: ${oneLine(log.failure)}`;
  const dismissed = findings.filter((finding) => finding.dismissed).length;
  const counts = severities.map((severity) => levelCount(findings, severity)).filter((text) => text !== '');
  const found = [...counts, unjudgedText(log)].filter((text) => text !== '').join(', ') || 'nothing found';
  const judged = dismissed > 0 ? `; ${countOf(dismissed, 'event', 'events')} judged false alarm` : '';
  const before = log.before ? `; ${beforeText(log.before)}` : '';
  return `${oneLine(log.shown)}: ${sizeText(log, ', ')}: ${found}${judged}${before}`;
}

/** Why the rows were not judged, to be gone on with; '' where they were, or were not read. */
export function unjudgedText({ header, analysis }: CheckedLog): string {
  // That there are no rows is told with their number.
  if (!header || !analysis || analysis.summary.rows === 0) return '';
  return unjudged(analysis.summary)
    .replace(/^[NT]/, (first) => first.toLowerCase())
    .replace(/\.$/, '');
}

export function beforeText(before: NonNullable<CheckedLog['before']>): string {
  const left = [countOf(before.problems, 'problem', 'problems'), countOf(before.events, 'event', 'events')].join(
    ' and ',
  );
  return `${left} already in ${before.ref} not shown`;
}

function levelCount(findings: readonly Finding[], severity: Severity): string {
  const number = findings.filter((finding) => finding.severity === severity && !finding.dismissed).length;
  return number === 0
    ? ''
    : severity === 'information'
      ? `${number} for information`
      : countOf(number, severity, `${severity}s`);
}

/** As https://no-color.org and https://force-color.org ask. */
export function inColour({ stdout, env }: Io): boolean {
  if (env['NO_COLOR']) return false;
  return env['FORCE_COLOR'] ? env['FORCE_COLOR'] !== '0' : stdout.isTTY === true && env['TERM'] !== 'dumb';
}
