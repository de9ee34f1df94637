// A picture for a report or a message: on white, whatever the editor's theme, and with lines of text over it that say which
// log, moment and quantity it shows, since it will be looked at without the page around it.
import { standalone } from './standaloneStyle.ts';
import { svg, type SvgNode } from './svg.ts';
import { textLines } from '../text/textLines.ts';
import type { Ground } from '../colours.ts';

export const pictureGround: Ground = 'light';

const linePx = 16;
const marginPx = 10;

/** `drawing` must be drawn for `pictureGround` and be `widthPx` by `heightPx`. The first line is set bold. */
export function titledPicture(
  lines: readonly string[],
  drawing: readonly SvgNode[],
  widthPx: number,
  heightPx: number,
): SvgNode {
  const room = widthPx - 2 * marginPx;
  const texts = lines.filter((line) => line !== '').flatMap((line) => textLines(line, room));
  const top = marginPx + linePx * texts.length;
  const title = texts.map((text, i) =>
    svg('text', { class: i === 0 ? 'plot-title' : 'legend-text', x: marginPx, y: linePx * (i + 1) }, [text]),
  );
  const height = top + heightPx;
  const whole = svg('svg', { viewBox: `0 0 ${widthPx} ${height}`, width: widthPx, height }, [
    ...title,
    svg('g', { transform: `translate(0 ${top})` }, drawing),
  ]);
  return standalone(whole, pictureGround);
}
