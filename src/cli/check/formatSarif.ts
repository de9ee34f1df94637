// Findings as SARIF 2.1.0 (OASIS Standard, 2020), for hosts that show analysis results on a change. Fingerprints follow
// from what was found, not from the line, so that a host knows a finding again after lines were inserted above it.
import { createHash } from 'node:crypto';
import { pathToFileURL } from 'node:url';
import type { Severity } from '../../core/problem.ts';
import { isReadable } from '../checkLogs.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { findingsOf, toldOf, worstFirst } from '../finding.ts';
import type { Finding } from '../finding.ts';
import { rounded } from '../../core/contract/checkContract.ts';
import { version } from '../version.ts';

/** What a host takes of one run at most; it keeps the first ones, so the worst come first. */
const resultCap = 25_000;

const sarifLevels: Readonly<Record<Severity, string>> = { error: 'error', warning: 'warning', information: 'note' };

export function formatSarif(logs: readonly CheckedLog[], cwd: string): string {
  const all = worstFirst(logs.flatMap((log) => findingsOf(log, cwd)));
  const kept = all.slice(0, resultCap);
  const rules = [...new Set(kept.map(({ code }) => code))].sort();
  const run = {
    tool: { driver: { name: 'underplate', version, rules: rules.map((id) => ({ id })) } },
    originalUriBaseIds: { WORKINGFOLDER: { uri: `${pathToFileURL(cwd).href.replace(/\/$/, '')}/` } },
    columnKind: 'utf16CodeUnits',
    invocations: [{ executionSuccessful: logs.every(isReadable), ...notifications(logs, all.length) }],
    results: withFingerprints(kept, rules),
  };
  return `${JSON.stringify({ $schema: schemaUri, version: '2.1.0', runs: [run] }, null, 2)}\n`;
}

const schemaUri = 'https://json.schemastore.org/sarif-2.1.0.json';

function notifications(logs: readonly CheckedLog[], found: number): object {
  const told: { level: string; message: { text: string } }[] = logs
    .filter(({ failure }) => failure !== '')
    .map(({ shown, failure }) => ({ level: 'error', message: { text: `${shown} cannot be read: ${failure}` } }));
  if (found > resultCap) {
    const text = `${found - resultCap} further findings are not listed here; the worst ${resultCap} are.`;
    told.push({ level: 'warning', message: { text } });
  }
  return told.length > 0 ? { toolExecutionNotifications: told } : {};
}

function withFingerprints(findings: readonly Finding[], rules: readonly string[]): object[] {
  const seen = new Map<string, number>();
  return findings.map((finding) => {
    const identity = identityOf(finding);
    const nth = seen.get(identity) ?? 0;
    seen.set(identity, nth + 1);
    return sarifResult(finding, rules.indexOf(finding.code), nth === 0 ? identity : `${identity}:${nth}`);
  });
}

/** Of an event its id, of a problem its code and words without the line numbers in them. */
function identityOf({ path, code, message, event }: Finding): string {
  const what = event ? event.event.id : message.replace(/\d+/g, '#');
  return createHash('sha256').update(`${path}\n${code}\n${what}`).digest('hex').slice(0, 32);
}

function sarifResult(finding: Finding, ruleIndex: number, fingerprint: string): object {
  const { code, severity, event, dismissed } = finding;
  return {
    ruleId: code,
    ruleIndex,
    level: sarifLevels[severity],
    message: { text: toldOf(finding) },
    locations: [{ physicalLocation: physicalLocation(finding) }],
    partialFingerprints: { 'underplateFinding/v1': fingerprint },
    ...(dismissed && { suppressions: [{ kind: 'external', status: 'accepted', justification: causeOf(finding) }] }),
    ...(event && { properties: eventProperties(event.event) }),
  };
}

function physicalLocation({ path, line, column, endLine, endColumn }: Finding): object {
  const absolute = /^(\/|[A-Za-z]:)/.test(path);
  const uri = absolute ? pathToFileURL(path).href : path.split('/').map(encodeURIComponent).join('/');
  // A range up to the next line's start is the whole line: SARIF's way is to leave the columns out.
  const whole = column === 1 && endColumn === 1 && endLine === line + 1;
  const region = whole ? { startLine: line } : { startLine: line, startColumn: column, endLine, endColumn };
  return { artifactLocation: absolute ? { uri } : { uri, uriBaseId: 'WORKINGFOLDER' }, region };
}

function causeOf({ event }: Finding): string {
  const cause = event?.judgement.cause ?? '';
  return cause === '' ? 'judged a false alarm in the notes' : cause;
}

function eventProperties(event: NonNullable<Finding['event']>['event']): object {
  return {
    nature: event.nature,
    sure: event.sure,
    time_s: rounded(event.timeS, 6),
    detected_time_s: rounded(event.detectedTimeS, 6),
    layer: event.layer < 0 ? null : event.layer,
    part: event.part,
  };
}
