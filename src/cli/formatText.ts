// Findings as lines that terminals make clickable and problem matchers read: `path:line:col: level: message [code]`,
// and one summary line for each log.
import { styleText } from 'node:util';
import type { Severity } from '../core/problem.ts';
import type { CheckedLog } from './checkLogs.ts';
import { findingsOf, levelNames, severities, toldOf } from './finding.ts';
import type { Finding } from './finding.ts';

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
  return `${path}:${line}:${column}: ${shown}: ${oneLine(toldOf(finding))} [${code}]`;
}

function summaryLine(log: CheckedLog, findings: readonly Finding[]): string {
  if (log.failure !== '') return `${log.shown}: cannot be read: ${oneLine(log.failure)}`;
  const summary = log.analysis?.summary;
  const size = summary ? `${count(summary.rows, 'row')}, ${duration(summary.endS - summary.startS)}` : '';
  const dismissed = findings.filter((finding) => finding.dismissed).length;
  const counts = severities.map((severity) => countOf(findings, severity)).filter((text) => text !== '');
  const found = counts.length > 0 ? counts.join(', ') : 'nothing found';
  const judged = dismissed > 0 ? `; ${count(dismissed, 'event')} judged false alarm` : '';
  const before = log.before ? `; ${beforeText(log.before)}` : '';
  return `${log.shown}: ${size}: ${found}${judged}${before}`;
}

export function beforeText(before: NonNullable<CheckedLog['before']>): string {
  const left = [count(before.problems, 'problem'), count(before.events, 'event')].join(' and ');
  return `${left} already in ${before.ref} not shown`;
}

function countOf(findings: readonly Finding[], severity: Severity): string {
  const number = findings.filter((finding) => finding.severity === severity && !finding.dismissed).length;
  return number === 0 ? '' : severity === 'information' ? `${number} for information` : count(number, severity);
}

export function count(number: number, noun: string): string {
  return `${number.toString().replace(/\B(?=(\d{3})+$)/g, '\u00a0')} ${noun}${number === 1 ? '' : 's'}`;
}

/** `12 h 3 min`, `4 min 5 s`, `7 s`. */
export function duration(seconds: number): string {
  if (!Number.isFinite(seconds)) return 'no time';
  const whole = Math.round(seconds);
  const [h, min, s] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
  return h > 0 ? `${h} h ${min} min` : min > 0 ? `${min} min ${s} s` : `${s} s`;
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}
