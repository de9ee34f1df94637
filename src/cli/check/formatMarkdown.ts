// Checked logs as Markdown: a table of what was found, and for the gravest events a small map and plot. `svg` draws them
// inline, for viewers that show HTML in Markdown; `signs` draws curves with block characters, for job summaries, whose
// host strips inline SVG.
import { plainMarkdown } from '../../core/display/text/markdownText.ts';
import { clock, countOf, measure } from '../../core/display/numberFormat.ts';
import { standalone } from '../../core/display/svg/standaloneStyle.ts';
import { svgText } from '../../core/display/svg/svg.ts';
import type { SvgNode } from '../../core/display/svg/svg.ts';
import { microstrain } from '../../core/display/units.ts';
import { severities } from '../../core/problem.ts';
import type { CheckedEvent, CheckedLog } from '../checkLogs.ts';
import { findingsOf, levelNames, sizeText, toldOf, worstFirst } from '../finding.ts';
import type { Finding } from '../finding.ts';
import { beforeText, unjudgedText } from '../formatText.ts';
import { around, changeMap, eventPlot, rosetteSeries } from '../pictures.ts';
import { version } from '../version.ts';

export interface MarkdownOptions {
  readonly cwd: string;
  readonly pictures: 'svg' | 'signs';
}

/** A job's summary may have 1 MiB; rows and pictures beyond these are counted instead. */
const mostRows = 60;
const mostPictures = 3;
/** In UTF-16 units, with room for those that take three bytes. */
const longestText = 700_000;
const sparks = '▁▂▃▄▅▆▇█';

export async function formatMarkdown(logs: readonly CheckedLog[], options: MarkdownOptions): Promise<string> {
  const sections: string[] = [];
  let size = 0;
  for (const log of logs) {
    const next = await section(log, options);
    if (size + next.length > longestText) break;
    sections.push(next);
    size += next.length;
  }
  const left = logs.length - sections.length;
  if (left > 0) sections.push(`… and ${countOf(left, 'further log', 'further logs')}.\n`);
  return `${sections.join('\n')}\nunderplate ${version} · advice, no safety interlock\n`;
}

async function section(log: CheckedLog, options: MarkdownOptions): Promise<string> {
  const title = `## ${plainMarkdown(log.shown, 'legible')}\n\n`;
  if (log.failure !== '') return `${title}**Cannot be read:** ${plainMarkdown(log.failure, 'legible')}\n`;
  const findings = worstFirst(findingsOf(log, options.cwd));
  const shown = findings.slice(0, mostRows);
  const rest = findings.length - shown.length;
  const parts = [`${title}${sizeText(log, ' over ')}; ${counts(findings, log)}.`];
  if (log.before) parts.push(`Only what is new: ${plainMarkdown(beforeText(log.before), 'legible')}.`);
  if (shown.length > 0) {
    const rows = shown.map(
      (finding) =>
        `| ${sign(finding)} | ${place(finding, log)} | ${plainMarkdown(toldOf(finding), 'legible')} | \`${finding.code}\` |`,
    );
    parts.push(`| level | line | what | code |\n| --- | ---: | --- | --- |\n${rows.join('\n')}`);
  }
  if (rest > 0) parts.push(`… and ${countOf(rest, 'further finding', 'further findings')}.`);
  const drawn = shown.flatMap(({ event, dismissed }) =>
    event && !dismissed && event.event.nature === 'mechanical' ? [event] : [],
  );
  for (const one of drawn.slice(0, mostPictures)) parts.push(await picture(log, one, options));
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function counts(findings: readonly Finding[], log: CheckedLog): string {
  const live = findings.filter(({ dismissed }) => !dismissed);
  const list = severities.map((severity) => {
    const number = live.filter((finding) => finding.severity === severity).length;
    if (number === 0) return '';
    return severity === 'information' ? `${number} for information` : countOf(number, severity, `${severity}s`);
  });
  const dismissed = findings.length - live.length;
  if (dismissed > 0) list.push(`${dismissed} judged false alarm`);
  list.push(unjudgedText(log));
  return list.filter((text) => text !== '').join(', ') || 'nothing found';
}

/** The line, with the file's name where that is not the log. */
function place({ path, line }: Finding, log: CheckedLog): string {
  return path === log.shown
    ? String(line)
    : `${plainMarkdown(path.slice(path.lastIndexOf('/') + 1), 'legible')}:${line}`;
}

function sign({ severity, dismissed }: Finding): string {
  const signs = { error: '🔴', warning: '🟠', information: '🔵' } as const;
  return dismissed ? `⚪ ${levelNames[severity]}, judged` : `${signs[severity]} ${levelNames[severity]}`;
}

async function picture(log: CheckedLog, one: CheckedEvent, { pictures }: MarkdownOptions): Promise<string> {
  const { event } = one;
  const place = `line ${event.line}, ${clock(event.timeS)}${event.layer >= 0 ? `, layer ${event.layer}` : ''}`;
  const title = `### ${plainMarkdown(event.kind, 'legible')} at ${place}`;
  if (pictures === 'signs') return `${title}\n\n${await signs(log, one)}`;
  const plot = await eventPlot(log, event, { widthPx: 560, heightPx: 260 });
  const map = changeMap(log.header!, event, { widthPx: 340, heightPx: 320 });
  return `${title}\n\n<div>\n${[map, plot].flatMap((node) => (node ? [markup(node)] : [])).join('\n')}\n</div>`;
}

/** On one line, so that Markdown takes it as one block of HTML. */
function markup(node: SvgNode): string {
  return svgText(standalone(node, 'light')).replace(/\s*\n\s*/g, ' ');
}

/** One row of block characters per cell: its larger principal strain before, at and after the event. */
async function signs(log: CheckedLog, { event }: CheckedEvent): Promise<string> {
  const [fromS, toS] = around(log, event);
  const known = new Set(log.analysis!.summary.series.map(({ id }) => id));
  const rows: string[] = [];
  for (const change of event.cells.slice(0, 6)) {
    const id = rosetteSeries(log.header!, change, 'e1');
    if (!known.has(id)) continue;
    const { timeS, values } = await log.analysis!.calls.window({ series: [id], fromS, toS, pixels: 400 });
    const means = binned(timeS, values[0]!, fromS, toS, 40);
    const [low, high] = [Math.min(...means.filter(Number.isFinite)), Math.max(...means.filter(Number.isFinite))];
    const curve = means.map((mean) => spark(mean, low, high)).join('');
    rows.push(
      `| ${plainMarkdown(id, 'legible')} | \`${curve}\` | ${measure(low, microstrain.unitLabel)} to ${measure(high, microstrain.unitLabel)} |`,
    );
  }
  if (rows.length === 0) return '';
  const span = `${clock(fromS)} to ${clock(toS)}`;
  return `| series | ${span} | lowest and highest |\n| --- | --- | --- |\n${rows.join('\n')}`;
}

function binned(timeS: Float64Array, values: Float64Array, fromS: number, toS: number, bins: number): number[] {
  const sums = new Float64Array(bins);
  const counts = new Float64Array(bins);
  timeS.forEach((time, at) => {
    const bin = Math.min(bins - 1, Math.floor(((time - fromS) / (toS - fromS)) * bins));
    if (bin < 0 || !Number.isFinite(values[at]!)) return;
    sums[bin]! += values[at]!;
    counts[bin]! += 1;
  });
  return Array.from(sums, (sum, bin) => (counts[bin]! > 0 ? sum / counts[bin]! : NaN));
}

function spark(value: number, low: number, high: number): string {
  if (!Number.isFinite(value)) return ' ';
  return sparks[Math.min(7, Math.floor(((value - low) / (high - low || 1)) * 8))]!;
}
