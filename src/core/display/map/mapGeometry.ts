// Geometry of the plate map: metres on the plate (x right, y to the back, so up on the page) to page units, and the
// marks that stand for a principal pair. A pair is two strokes along the principal directions, centred on the cell,
// their whole length in proportion to the size. Tension and compression differ by form: a solid stroke with arrowheads
// that point outwards (pulls apart), against a hollow stroke with heads that point inwards (presses together).
import { principal } from '../../strain/principal.ts';
import type { SickSpell } from '../../strain/sickSpell.ts';
import { round } from '../svg/svg.ts';
import { niceStep } from '../ticks.ts';

export interface PlateFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerM: number;
  readonly leftPx: number;
  readonly topPx: number;
  readonly sizeM: readonly [number, number];
}

export interface Margins {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** A principal pair of anything: strain, change of strain, stress, moment. first >= second; direction is that of first. */
export interface PrincipalPair {
  readonly cell: number;
  readonly first: number;
  readonly second: number;
  /** NaN where undefined. */
  readonly dirDeg: number;
  readonly dirErrorDeg: number;
  /** Channels of it that are not to be believed; left out: none. */
  readonly sick?: readonly SickSpell[] | undefined;
}

export interface CrossScale {
  /** Half a stroke's length on the page per unit of value. */
  readonly halfPxPerUnit: number;
  /** A round value for the scale bar, in the same unit. */
  readonly barValue: number;
  readonly barPx: number;
}

/** The plate to scale and centred in what the margins leave. */
export function plateFrame(
  sizeM: readonly [number, number],
  widthPx: number,
  heightPx: number,
  margins: Margins,
): PlateFrame {
  const roomX = Math.max(1, widthPx - margins.left - margins.right);
  const roomY = Math.max(1, heightPx - margins.top - margins.bottom);
  const pxPerM = Math.min(roomX / sizeM[0], roomY / sizeM[1]);
  return {
    widthPx,
    heightPx,
    pxPerM,
    leftPx: margins.left + (roomX - sizeM[0] * pxPerM) / 2,
    topPx: margins.top + (roomY - sizeM[1] * pxPerM) / 2,
    sizeM,
  };
}

export function toPage(frame: PlateFrame, xM: number, yM: number): [number, number] {
  return [frame.leftPx + xM * frame.pxPerM, frame.topPx + (frame.sizeM[1] - yM) * frame.pxPerM];
}

/** Smallest distance between two cells, metres; for one cell, a third of the plate. */
export function cellSpacingM(
  cells: readonly { readonly xM: number; readonly yM: number }[],
  sizeM: readonly [number, number],
): number {
  let nearest = Math.min(sizeM[0], sizeM[1]) / 3;
  for (let i = 0; i < cells.length; i++) {
    for (let j = i + 1; j < cells.length; j++) {
      const apart = Math.hypot(cells[i]!.xM - cells[j]!.xM, cells[i]!.yM - cells[j]!.yM);
      if (apart > 0) nearest = Math.min(nearest, apart);
    }
  }
  return nearest;
}

/** Largest size among the pairs, 0 where none is defined. */
export function largestSize(pairs: readonly PrincipalPair[]): number {
  return pairs.reduce((most, { first, second }) => {
    const size = Math.max(Math.abs(first), Math.abs(second));
    return Number.isFinite(size) ? Math.max(most, size) : most;
  }, 0);
}

/** Half the width of a cell on the page: neighbours do not touch. */
export function cellReachPx(spacingPx: number): number {
  return Math.min(60, 0.45 * spacingPx);
}

/** A rectangle on the page. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Frames of cells end so far within the edge of the plate. */
const edgePx = 2;

/** The area of a cell with its middle at page point (x, y), as far as it lies on the plate; all of it for a cell beside it. */
export function cellBox(x: number, y: number, reachPx: number, frame: PlateFrame): Box {
  const [left, width] = within(x, reachPx, frame.leftPx, frame.sizeM[0] * frame.pxPerM);
  const [top, height] = within(y, reachPx, frame.topPx, frame.sizeM[1] * frame.pxPerM);
  return { left, top, width, height };
}

function within(at: number, reachPx: number, plateFrom: number, plateSize: number): [number, number] {
  const from = Math.max(at - reachPx, plateFrom + edgePx);
  const to = Math.min(at + reachPx, plateFrom + plateSize - edgePx);
  return to > from ? [from, to - from] : [at - reachPx, 2 * reachPx];
}

/** Path of what lies on the plate of a circle about page point (x, y); '' where none of it does. */
export function circleOnPlate(
  x: number,
  y: number,
  radiusPx: number,
  { leftPx, topPx, sizeM, pxPerM }: PlateFrame,
): string {
  const [right, bottom] = [leftPx + sizeM[0] * pxPerM, topPx + sizeM[1] * pxPerM];
  const at = (angle: number): [number, number] => [x + radiusPx * Math.cos(angle), y + radiusPx * Math.sin(angle)];
  const point = (angle: number): string => at(angle).map(round).join(' ');
  // Cut at the edges, and at the quarters, since an arc of a path is less than a whole turn.
  const quarters = [0, 1, 2, 3].map((quarter) => (quarter * Math.PI) / 2);
  const acrossX = [leftPx, right].map((edge) => Math.acos((edge - x) / radiusPx)).flatMap((angle) => [angle, -angle]);
  const acrossY = [topPx, bottom]
    .map((edge) => Math.asin((edge - y) / radiusPx))
    .flatMap((angle) => [angle, Math.PI - angle]);
  const cuts = [...quarters, ...[...acrossX, ...acrossY].filter(Number.isFinite)].map(
    (angle) => (angle + 2 * Math.PI) % (2 * Math.PI),
  );
  cuts.sort((a, b) => a - b);
  const arcs = cuts.map((from, i) => [from, cuts[i + 1] ?? cuts[0]! + 2 * Math.PI] as const);
  const shown = arcs.filter(([from, to]) => {
    const [px, py] = at((from + to) / 2);
    return px >= leftPx && px <= right && py >= topPx && py <= bottom;
  });
  const r = round(radiusPx);
  return shown.map(([from, to]) => `M${point(from)}A${r} ${r} 0 0 1 ${point(to)}`).join('');
}

/** A scale by which the largest pair just fits between neighbouring cells. */
export function crossScale(spacingPx: number, largest: number): CrossScale {
  const halfPx = Math.min(60, 0.42 * spacingPx);
  if (!(largest > 0)) return { halfPxPerUnit: 0, barValue: 0, barPx: 0 };
  const halfPxPerUnit = halfPx / largest;
  const step = niceStep(largest, 1);
  const barValue = step > largest ? niceStep(largest / 2.5, 1) : step;
  return { halfPxPerUnit, barValue, barPx: 2 * halfPxPerUnit * barValue };
}

export type Sense = 'tension' | 'compression';

export interface StrokeMark {
  readonly sense: Sense;
  /** Path of the stroke itself: a line for tension, the outline of a hollow bar for compression. */
  readonly shaft: string;
  /** Path of the two arrowheads, '' where the stroke is too short to carry them. */
  readonly heads: string;
}

/** The stroke of one principal value at page point (x, y); `angleRad` counterclockwise on the plate. */
export function strokeMark(x: number, y: number, angleRad: number, value: number, halfPx: number): StrokeMark {
  const sense: Sense = value < 0 ? 'compression' : 'tension';
  const along: [number, number] = [Math.cos(angleRad), -Math.sin(angleRad)];
  const across: [number, number] = [-along[1], along[0]];
  const at = (s: number, t: number): string =>
    `${round(x + s * along[0] + t * across[0])} ${round(y + s * along[1] + t * across[1])}`;
  const head = Math.min(7, 0.45 * halfPx);
  const withHeads = halfPx >= 7;
  const shaftEnd = withHeads ? halfPx - head : halfPx;
  if (sense === 'tension') {
    const tip = (side: number): string =>
      `M${at(side * shaftEnd, -head * 0.55)}L${at(side * halfPx, 0)}L${at(side * shaftEnd, head * 0.55)}Z`;
    return { sense, shaft: `M${at(-shaftEnd, 0)}L${at(shaftEnd, 0)}`, heads: withHeads ? tip(-1) + tip(1) : '' };
  }
  const half = 1.6;
  const inward = (side: number): string =>
    `M${at(side * halfPx, -head * 0.6)}L${at(side * shaftEnd, 0)}L${at(side * halfPx, head * 0.6)}`;
  return {
    sense,
    shaft: `M${at(-shaftEnd, -half)}L${at(shaftEnd, -half)}L${at(shaftEnd, half)}L${at(-shaftEnd, half)}Z`,
    heads: withHeads ? inward(-1) + inward(1) : '',
  };
}

/** Two opposite sectors that show a direction and one standard error to each side. */
export function errorWedge(x: number, y: number, dirDeg: number, errorDeg: number, radiusPx: number): string {
  const sector = (turnDeg: number): string => {
    const end = (deg: number): string => {
      const rad = (deg * Math.PI) / 180;
      return `${round(x + radiusPx * Math.cos(rad))} ${round(y - radiusPx * Math.sin(rad))}`;
    };
    const from = dirDeg + turnDeg - errorDeg;
    const to = dirDeg + turnDeg + errorDeg;
    return `M${round(x)} ${round(y)}L${end(from)}A${round(radiusPx)} ${round(radiusPx)} 0 0 0 ${end(to)}Z`;
  };
  return sector(0) + sector(180);
}

/** Principal pair of a symmetric plane tensor; for strain, xy is half the engineering shear. */
export function principalPair(cell: number, xx: number, yy: number, xy: number): PrincipalPair {
  const { e1, e2, gmax, dirRad } = principal(xx, yy, 2 * xy);
  return { cell, first: e1, second: e2, dirDeg: gmax > 0 ? (dirRad * 180) / Math.PI : NaN, dirErrorDeg: NaN };
}
