// How the entries of a legend are laid out: one after another from left to right, going on in a further line where there is
// no more room. Page units; a drawing is made without a page at hand, so widths are reckoned by letters.
import { svg, type SvgNode } from './svg.ts';
import { lettersWithin, textLines, textWidthPx, withoutMiddle } from '../text/textLines.ts';

/** From the middle of a line to that of the next. */
export const legendLinePx = 17;
/** Between two entries of a line, and between a sample and its text. */
const apartPx = 14;
const gapPx = 6;

export interface LegendEntry {
  /** 0 for an entry that is text alone. */
  readonly sampleWidthPx: number;
  /** The sample of a line whose text has its middle at `y`. */
  sample(x: number, y: number): readonly SvgNode[];
  readonly text: string;
}

export interface LegendRoom {
  /** Where the middle of the first line begins. */
  readonly left: number;
  readonly top: number;
  readonly widthPx: number;
  /** What the first line has taken already. */
  readonly takenPx: number;
  /** What becomes of a text wider than a line: it goes on in further lines, or its middle is left out. */
  readonly long: 'broken' | 'shortened';
}

export function legendFlow(
  entries: readonly LegendEntry[],
  { left, top, widthPx, takenPx, long }: LegendRoom,
): { readonly lines: number; readonly marks: SvgNode[] } {
  const marks: SvgNode[] = [];
  let x = takenPx;
  let line = 0;
  for (const { sampleWidthPx, sample, text } of entries) {
    const lead = sampleWidthPx > 0 ? sampleWidthPx + gapPx : 0;
    const room = widthPx - lead;
    const texts = long === 'broken' ? textLines(text, room) : [withoutMiddle(text, lettersWithin(room))];
    const width = lead + textWidthPx(texts[0]!);
    if (x > 0 && (texts.length > 1 || x + width > widthPx)) [x, line] = [0, line + 1];
    marks.push(...sample(left + x, top + line * legendLinePx));
    const whole = texts.length > 1 || texts[0] === text ? undefined : svg('title', {}, [text]);
    texts.forEach((words, i) => {
      const y = top + (line + i) * legendLinePx + 4;
      marks.push(svg('text', { class: 'legend-text', x: left + x + lead, y }, [whole, words]));
    });
    line += texts.length - 1;
    x = texts.length > 1 ? widthPx : x + width + apartPx;
  }
  return { lines: line + 1, marks };
}
