// Names on the plate map, placed so that they hide neither crosses nor one another: cells' names in a corner of their own
// cell where there is room for all, shortened if need be, else only those that are asked after; parts' names where least
// lies in their way.
// All in page units.
import { cellBox, toPage, type Box, type PlateFrame } from './mapGeometry.ts';
import type { MapHeader } from './mapPlate.ts';
import { svg, type SvgNode } from '../svg/svg.ts';
import { withoutMiddle } from '../text/textLines.ts';

interface Placed {
  readonly box: Box;
  readonly mark: SvgNode;
}

export interface PlacedName extends Placed {
  /** Index of the cell. */
  readonly cell: number;
}

const linePx = 12;
/** From the top of a line to its baseline. */
const ascentPx = 10;
const perLetter = { bold: 7.4, italic: 6.2 } as const;
/** Cells narrower than this have no corner that the cross leaves free. */
const leastCellPx = 44;
/** A cell's name is not shortened to fewer letters. */
const leastLetters = 8;
/** A part's name may be so long, however narrow the part. */
const leastPartPx = 64;

export interface NamedCell {
  readonly name: string;
  /** What is written behind the name: '' for nothing. */
  readonly mark: string;
  /** Of its place on the page. */
  readonly x: number;
  readonly y: number;
  /** Asked after, so named also where there is no room for all. */
  readonly wanted: boolean;
}

/** `reachPx`: half the width of a cell. */
export function cellNames(cells: readonly NamedCell[], reachPx: number, frame: PlateFrame): PlacedName[] {
  const boxes = cells.map(({ x, y }) => cellBox(x, y, reachPx, frame));
  const lettersIn = (roomPx: number): number => Math.floor(roomPx / perLetter.bold);
  const most = lettersIn(Math.min(...boxes.map(({ width }) => width)) - 6);
  const longest = Math.max(0, ...cells.map((cell) => namedBy(cell, Infinity).length));
  const roomy = 2 * reachPx >= leastCellPx && most >= Math.min(longest, leastLetters);
  const letters = roomy ? most : lettersIn(frame.sizeM[0] * frame.pxPerM - 4);
  return cells.flatMap((cell, i) => {
    if (cell.name === '' || !(roomy || cell.wanted)) return [];
    const text = namedBy(cell, letters);
    const width = text.length * perLetter.bold;
    const corner = boxes[i]!;
    const left = roomy ? corner.left + 4 : inside(cell.x - width / 2, width, frame);
    const above = cell.y - reachPx - linePx - 2;
    const top = roomy ? corner.top + 2 : above < frame.topPx ? cell.y + reachPx + 2 : above;
    return [{ ...placed('cell-name', text, { left, top, width, height: linePx }), cell: i }];
  });
}

/** Name and mark in at most so many letters. */
function namedBy({ name, mark }: NamedCell, letters: number): string {
  const behind = mark === '' ? '' : ` ${mark}`;
  return withoutMiddle(name, Math.max(3, letters - behind.length)) + behind;
}

/** Name over name is worse than name over cross, which is seen through it. */
const nameWeight = 10;

/** `standing`: names that stand already; `crosses`: what is better not written over either. */
export function partNames(
  parts: MapHeader['parts'],
  frame: PlateFrame,
  standing: readonly Box[],
  crosses: readonly Box[],
): Placed[] {
  const names: Placed[] = [];
  for (const { name, outlineM } of parts) {
    if (name === '' || outlineM.length === 0) continue;
    const corners = outlineM.map(([x, y]) => toPage(frame, x, y));
    const [left, right] = extent(corners.map(([x]) => x));
    const [top, bottom] = extent(corners.map(([, y]) => y));
    const text = shortened(name, Math.max(leastPartPx, right - left - 8));
    const width = text.length * perLetter.italic;
    const written = [...standing, ...names.map(({ box }) => box)];
    const places = [left + 4, right - 4 - width, (left + right - width) / 2].flatMap((x) =>
      [bottom - linePx - 3, top + 2, bottom + 2, top - linePx - 2].map((y): Box => {
        return { left: inside(x, width, frame), top: y, width, height: linePx };
      }),
    );
    const over = (box: Box, all: readonly Box[]): number => all.reduce((sum, one) => sum + overlap(box, one), 0);
    const cost = (box: Box): number =>
      nameWeight * (over(box, written) + outside(box, frame) * box.width) + over(box, crosses);
    const costs = places.map(cost);
    const best = places[costs.indexOf(Math.min(...costs))]!;
    names.push(placed('part-name', text, best, text === name ? undefined : name));
  }
  return names;
}

function placed(of: string, text: string, box: Box, whole?: string): Placed {
  const title = whole === undefined ? undefined : svg('title', {}, [whole]);
  return { box, mark: svg('text', { class: of, x: box.left, y: box.top + ascentPx }, [title, text]) };
}

function shortened(name: string, roomPx: number): string {
  const letters = Math.max(1, Math.floor(roomPx / perLetter.italic));
  return name.length <= letters ? name : `${name.slice(0, letters - 1)}…`;
}

/** `left`, moved so that what is `width` wide stays on the plate, if it can. */
function inside(left: number, width: number, { leftPx, sizeM, pxPerM }: PlateFrame): number {
  return Math.max(leftPx + 2, Math.min(leftPx + sizeM[0] * pxPerM - width - 2, left));
}

/** How far a box sticks out of the plate, up or down. */
function outside({ top, height }: Box, frame: PlateFrame): number {
  const bottom = frame.topPx + frame.sizeM[1] * frame.pxPerM;
  return Math.max(0, frame.topPx - top) + Math.max(0, top + height - bottom);
}

function extent(values: readonly number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

function overlap(a: Box, b: Box): number {
  const width = Math.min(a.left + a.width, b.left + b.width) - Math.max(a.left, b.left);
  const height = Math.min(a.top + a.height, b.top + b.height) - Math.max(a.top, b.top);
  return width > 0 && height > 0 ? width * height : 0;
}
