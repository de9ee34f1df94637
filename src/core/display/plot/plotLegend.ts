// The head of a time plot: what is drawn, in which unit, and what each line is; a name wider than a line is shortened.
import { dashes } from '../colours.ts';
import { legendFlow, legendLinePx, type LegendEntry } from '../svg/legendFlow.ts';
import { undefinedText } from '../numberFormat.ts';
import { svg, type SvgNode } from '../svg/svg.ts';
import { bandSign } from './svgBand.ts';

export interface PlotLegendInput {
  readonly title: string;
  readonly unitLabel: string;
  /** Of the lines in front, in the order of their colours. */
  readonly titles: readonly string[];
  /** Of the log behind, '' for none. */
  readonly behind: string;
  /** Of the good builds, with the index of the line whose colour their band has. */
  readonly band?: { readonly title: string; readonly line: number } | undefined;
  /** Said beneath; '' for nothing. */
  readonly note: string;
  readonly colours: readonly string[];
  readonly behindColour: string;
}

export interface PlotLegend {
  readonly heightPx: number;
  readonly mark: SvgNode;
}

const notePx = 16;
const titleLetterPx = 7;
const samplePx = 18;

/** From `left` on, at most `widthPx` wide. */
export function plotLegend(input: PlotLegendInput, left: number, widthPx: number): PlotLegend {
  const unit = input.unitLabel === '' ? '' : `, ${input.unitLabel}`;
  const marks = [svg('text', { class: 'plot-title', x: left, y: 14 }, [`${input.title}${unit}`])];
  const takenPx = titleLetterPx * (input.title.length + unit.length) + 16;
  const flow = legendFlow(entriesOf(input), { left, top: 10, widthPx, takenPx, long: 'shortened' });
  marks.push(...flow.marks);
  const under = 24 + (flow.lines - 1) * legendLinePx;
  if (input.note === '') return { heightPx: under, mark: svg('g', { class: 'legend' }, marks) };
  marks.push(svg('text', { class: 'legend-text', x: left, y: under + 6 }, [input.note]));
  return { heightPx: under + notePx, mark: svg('g', { class: 'legend' }, marks) };
}

function entriesOf({ titles, behind, band, colours, behindColour }: PlotLegendInput): LegendEntry[] {
  const entry = (text: string, sample: (x: number, y: number) => SvgNode): LegendEntry => ({
    ...{ text, sampleWidthPx: samplePx },
    sample: (x, y) => [sample(x, y)],
  });
  const stroke = (x: number, y: number, attributes: Parameters<typeof svg>[1]): SvgNode =>
    svg('path', { d: `M${x} ${y}h${samplePx}`, ...attributes });
  const colourOf = (order: number): string => colours[order % colours.length]!;
  const own = titles.map((title, order) => {
    const dash = dashes[order % dashes.length]!;
    const style = {
      ...{ stroke: colourOf(order), 'stroke-width': 2 },
      'stroke-dasharray': dash.length > 0 ? dash.join(' ') : undefined,
    };
    return entry(title === '' ? undefinedText : title, (x, y) => stroke(x, y, style));
  });
  const second = entry(behind, (x, y) => stroke(x, y, { stroke: behindColour, 'stroke-width': 1.4 }));
  const good = band && entry(band.title, (x, y) => bandSign(x, y - 5, samplePx, 10, colourOf(band.line)));
  return [...(behind === '' ? [] : [second]), ...own, ...(good ? [good] : [])];
}
