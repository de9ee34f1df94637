// The page around a report's sections: one self-contained HTML file without script or anything loaded from elsewhere (a
// content security policy in the page itself forbids both), legible on screen and on A4 and Letter paper.
import { standaloneStyle } from '../../core/display/svg/standaloneStyle.ts';
import { svgText } from '../../core/display/svg/svg.ts';
import type { SvgNode } from '../../core/display/svg/svg.ts';
import { escapeHtml } from '../../core/notes/remarkHtml.ts';

const style = `
:root { color-scheme: light; --ink: #1f2328; --soft: #59636e; --faint: #d5d9de; --error: #b3261e; --warning: #8a5a00; --information: #2a6099; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2.2rem 1.4rem 3rem; max-width: 62rem; background: #fff; color: var(--ink); font: 15px/1.5 system-ui, -apple-system, "Segoe UI", "Noto Sans", "Liberation Sans", sans-serif; overflow-wrap: break-word; }
header h1 { margin: 0; font-size: 1.9rem; line-height: 1.2; }
header p { margin: .3rem 0 0; color: var(--soft); overflow-wrap: anywhere; }
h2 { margin: 2.2rem 0 .6rem; padding-top: .5rem; border-top: 2px solid var(--ink); font-size: 1.2rem; }
h3 { margin: 1.5rem 0 .3rem; font-size: 1.02rem; }
p { margin: .4rem 0; }
.lead { font-size: 1.08rem; }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(17rem, 1fr)); gap: .1rem 2rem; margin: .5rem 0; }
.facts div { display: flex; justify-content: space-between; gap: 1rem; padding: .22rem 0; border-bottom: 1px solid var(--faint); }
.facts dt { color: var(--soft); white-space: nowrap; }
.facts dd { margin: 0; text-align: right; overflow-wrap: anywhere; }
table { width: 100%; margin: .6rem 0; border-collapse: collapse; font-size: .92em; }
caption { padding: .2rem 0; text-align: left; color: var(--soft); }
th, td { padding: .28rem .6rem .28rem 0; border-bottom: 1px solid var(--faint); text-align: left; vertical-align: top; }
th { color: var(--soft); font-weight: 600; }
th.number, td.number { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
td.short { white-space: nowrap; }
.level { font-weight: 600; white-space: nowrap; }
.level.error { color: var(--error); } .level.warning { color: var(--warning); } .level.information { color: var(--information); }
.dismissed td { color: var(--soft); }
.dismissed .level { color: var(--soft); }
.figures { display: grid; grid-template-columns: minmax(0, 5fr) minmax(0, 6fr); gap: 1rem; align-items: start; margin: .6rem 0; break-inside: avoid; }
figure { margin: 0 0 .5rem; }
figure svg { display: block; width: 100%; height: auto; }
.evidence { break-inside: avoid; margin: .4rem 0; padding-left: 1.1rem; columns: 2; column-gap: 1.6rem; font-size: .95em; }
.note { margin: .5rem 0; padding: .1rem 0 .1rem .9rem; border-left: 3px solid var(--faint); }
.note p { margin: .25rem 0; overflow-wrap: anywhere; }
.note .by { color: var(--soft); font-size: .9em; }
.caution { padding: .5rem .9rem; border: 1px solid var(--faint); }
code { font-family: ui-monospace, "Liberation Mono", Menlo, monospace; font-size: .92em; overflow-wrap: anywhere; }
a { color: inherit; }
footer { margin-top: 2.5rem; padding-top: .6rem; border-top: 1px solid var(--faint); color: var(--soft); font-size: .88em; }
@media screen and (max-width: 44rem) {
  body { padding: 1.2rem .8rem 2rem; }
  .figures { grid-template-columns: 1fr; }
  .evidence { columns: 1; }
  table { font-size: .82em; }
  th, td { padding-right: .35rem; }
  td:not(.number, .short) { overflow-wrap: anywhere; }
  th.number, td.number, td.short { white-space: normal; }
}
@page { margin: 15mm 15mm 17mm; @bottom-right { content: counter(page) " / " counter(pages); font: 9pt sans-serif; color: #59636e; } }
@media print {
  body { max-width: none; padding: 0; font-size: 9.8pt; }
  .figures { grid-template-columns: minmax(0, 5fr) minmax(0, 6fr); }
  h2, h3 { break-after: avoid; }
  h2 { margin-top: 1.3rem; }
  figure, tr, .note, .caution, .facts div { break-inside: avoid; }
  .facts { grid-template-columns: repeat(2, 1fr); }
  thead { display: table-header-group; }
  a { text-decoration: none; }
}`;

export interface ReportPage {
  readonly title: string;
  readonly subtitle: string;
  /** HTML. */
  readonly sections: readonly string[];
  readonly footer: string;
}

export function reportPage({ title, subtitle, sections, footer }: ReportPage): string {
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}</title>
<style>${style}
${standaloneStyle('light')}</style>
</head>
<body>
<header>
<h1>${escapeHtml(title)}</h1>
<p>${escapeHtml(subtitle)}</p>
</header>
<main>
${sections.join('\n')}
</main>
<footer>${escapeHtml(footer)}</footer>
</body>
</html>
`;
}

export function section(title: string, ...content: readonly string[]): string {
  return linkedSection('', title, ...content);
}

/** One that `#id` leads to. */
export function linkedSection(id: string, title: string, ...content: readonly string[]): string {
  return `<section${id === '' ? '' : ` id="${id}"`}>\n<h2>${escapeHtml(title)}</h2>\n${content.filter((part) => part !== '').join('\n')}\n</section>`;
}

export function paragraph(text: string, className = ''): string {
  return `<p${className === '' ? '' : ` class="${className}"`}>${escapeHtml(text)}</p>`;
}

/** Names and values; values are plain text. */
export function facts(list: readonly (readonly [string, string])[]): string {
  const rows = list.map(([name, value]) => `<div><dt>${escapeHtml(name)}</dt><dd>${escapeHtml(value)}</dd></div>`);
  return `<dl class="facts">\n${rows.join('\n')}\n</dl>`;
}

export interface TableColumn {
  readonly title: string;
  readonly kind?: 'number' | 'short';
}

export interface TableRow {
  /** HTML. */
  readonly cells: readonly string[];
  readonly className?: string;
}

export function table(caption: string, columns: readonly TableColumn[], rows: readonly TableRow[]): string {
  const kindOf = ({ kind }: TableColumn): string => (kind ? ` class="${kind}"` : '');
  const head = columns.map((column) => `<th scope="col"${kindOf(column)}>${escapeHtml(column.title)}</th>`).join('');
  const body = rows.map(({ cells, className }) => {
    const fields = cells.map((cell, at) => `<td${kindOf(columns[at]!)}>${cell}</td>`).join('');
    return `<tr${className ? ` class="${className}"` : ''}>${fields}</tr>`;
  });
  const title = caption === '' ? '' : `<caption>${escapeHtml(caption)}</caption>\n`;
  return `<table>\n${title}<thead><tr>${head}</tr></thead>\n<tbody>\n${body.join('\n')}\n</tbody>\n</table>`;
}

export function figure(drawing: SvgNode): string {
  return `<figure>${svgText(drawing)}</figure>`;
}
