// The head of a time plot: what is drawn, in which unit, and what each line is. Entries follow one another from left to right
// and go on in a further line where there is no more room; a name wider than a line is shortened. Page units; a drawing is made
// without a page at hand, so widths are reckoned by letters.
import { dashes } from './colours.ts';
import { undefinedText } from './numberFormat.ts';
import { svg, type SvgNode } from './svg.ts';
import { bandSign } from './svgBand.ts';
import { withoutMiddle } from './textLines.ts';

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

interface Entry {
  readonly text: string;
  sample(x: number, y: number): SvgNode;
}

const linePx = 15;
const notePx = 16;
const titleLetterPx = 7;
const letterPx = 6.2;
/** Width of a sample with the gap behind it, and the gap behind a text. */
const samplePx = 22;
const apartPx = 12;

/** From `left` on, at most `widthPx` wide. */
export function plotLegend(input: PlotLegendInput, left: number, widthPx: number): PlotLegend {
  const unit = input.unitLabel === '' ? '' : `, ${input.unitLabel}`;
  const marks = [svg('text', { class: 'plot-title', x: left, y: 14 }, [`${input.title}${unit}`])];
  let x = titleLetterPx * (input.title.length + unit.length) + 16;
  let line = 0;
  for (const { text, sample } of entriesOf(input)) {
    const shown = withoutMiddle(text, Math.floor((widthPx - samplePx) / letterPx));
    const width = samplePx + letterPx * shown.length;
    if (x > 0 && x + width > widthPx) [x, line] = [0, line + 1];
    const y = 10 + line * linePx;
    const whole = shown === text ? undefined : svg('title', {}, [text]);
    marks.push(
      sample(left + x, y),
      svg('text', { class: 'legend-text', x: left + x + samplePx, y: y + 4 }, [whole, shown]),
    );
    x += width + apartPx;
  }
  const under = 24 + line * linePx;
  if (input.note === '') return { heightPx: under, mark: svg('g', { class: 'legend' }, marks) };
  marks.push(svg('text', { class: 'legend-text', x: left, y: under + 6 }, [input.note]));
  return { heightPx: under + notePx, mark: svg('g', { class: 'legend' }, marks) };
}

function entriesOf({ titles, behind, band, colours, behindColour }: PlotLegendInput): Entry[] {
  const stroke = (x: number, y: number, attributes: Parameters<typeof svg>[1]): SvgNode =>
    svg('path', { d: `M${x} ${y}h18`, ...attributes });
  const colourOf = (order: number): string => colours[order % colours.length]!;
  const own = titles.map((title, order): Entry => {
    const dash = dashes[order % dashes.length]!;
    const style = {
      ...{ stroke: colourOf(order), 'stroke-width': 2 },
      'stroke-dasharray': dash.length > 0 ? dash.join(' ') : undefined,
    };
    return { text: title === '' ? undefinedText : title, sample: (x, y) => stroke(x, y, style) };
  });
  const second: Entry = {
    text: behind,
    sample: (x, y) => stroke(x, y, { stroke: behindColour, 'stroke-width': 1.4 }),
  };
  const good = band && {
    text: band.title,
    sample: (x: number, y: number) => bandSign(x, y - 5, 18, 10, colourOf(band.line)),
  };
  return [...(behind === '' ? [] : [second]), ...own, ...(good ? [good] : [])];
}
