// Findings as GitHub Actions workflow commands, which appear on the changed files of a pull request. A step may show ten
// of a level and a job fifty (GitHub docs, 'Workflow commands' and its limits on annotations): the worst come first and
// the rest are counted, nothing is dropped in silence.
import { severities } from '../../core/problem.ts';
import type { Severity } from '../../core/problem.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { findingsOf, toldOf, worstFirst } from '../finding.ts';
import type { Finding } from '../finding.ts';
import { formatText } from '../formatText.ts';

const perLevel = 10;
const commands: Readonly<Record<Severity, string>> = { error: 'error', warning: 'warning', information: 'notice' };

/** Three levels of ten each stay below the fifty of a job with room for its other steps. */
export function formatGithub(logs: readonly CheckedLog[], cwd: string): string {
  const all = logs.flatMap((log) => findingsOf(log, cwd));
  const lines: string[] = logs
    .filter(({ failure }) => failure !== '')
    .slice(0, perLevel / 2)
    .map((log) => command('error', { file: log.shown, title: 'unreadable log' }, `${log.shown}: ${log.failure}`));
  for (const severity of severities) {
    const ofLevel = worstFirst(all.filter((finding) => finding.severity === severity && !finding.dismissed));
    // One place of the ten is kept for the count of the rest; unreadable logs take errors' places.
    const taken = severity === 'error' ? lines.length : 0;
    const fits = ofLevel.length <= perLevel - taken;
    const shown = ofLevel.slice(0, Math.max(0, fits ? ofLevel.length : perLevel - taken - 1));
    lines.push(...shown.map((finding) => annotation(finding)));
    const rest = ofLevel.length - shown.length;
    if (rest > 0)
      lines.push(command(commands[severity], {}, `${rest} more findings of this level; see the step's log.`));
  }
  // The whole list goes to the step's log as plain lines, in a group that opens on a click.
  const text = formatText(logs, { cwd, colour: false });
  return `${lines.map((line) => `${line}\n`).join('')}::group::All findings\n${harmless(text)}::endgroup::\n`;
}

function annotation(finding: Finding): string {
  const { path, line, column, endLine, endColumn, severity, code } = finding;
  const oneLine = endLine === line && endColumn > column;
  const place = { file: path, line, ...(oneLine ? { col: column, endColumn } : {}), title: `underplate: ${code}` };
  return command(commands[severity], place, toldOf(finding));
}

function command(name: string, properties: Readonly<Record<string, string | number>>, message: string): string {
  const list = Object.entries(properties).map(([key, value]) => `${key}=${escapeProperty(String(value))}`);
  return `::${name}${list.length > 0 ? ` ${list.join(',')}` : ''}::${escapeData(message)}`;
}

/** As the runner's own toolkit escapes (actions/toolkit, command.ts). */
function escapeData(text: string): string {
  return text.replace(/%/g, '%25').replace(/\r/g, '%0D').replace(/\n/g, '%0A');
}

function escapeProperty(text: string): string {
  return escapeData(text).replace(/:/g, '%3A').replace(/,/g, '%2C');
}

/** A log's own words must not become commands: no line may begin with one. */
function harmless(text: string): string {
  return text.replace(/^(\s*)::/gm, '$1: :').replace(/##\[/g, '# #[');
}
