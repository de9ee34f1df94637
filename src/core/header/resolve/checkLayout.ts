// Checks of the layout that need several fields: where cells, planes and part outlines lie on the plate and to each other.
import { millimetres } from '../../display/units.ts';
import type { LogHeader } from '../logHeader.ts';
import type { ProblemList } from '../problemList.ts';
import type { RawStrainLog } from '../schema/schema.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

/** Two cells nearer than this are one place, metres. */
const samePlaceM = 1e-4;
/** Two planes nearer than this are one height, metres. */
const sameHeightM = 1e-5;

export function checkLayout(header: LogHeader, raw: RawStrainLog, path: Path, list: ProblemList): void {
  checkCells(header, [...path, 'cells'], list);
  checkPlanes(header, raw, [...path, 'planes'], list);
  checkParts(header, [...path, 'parts'], list);
}

function checkCells({ cells, plate }: LogHeader, path: Path, list: ProblemList): void {
  const byX = cells.map((_, index) => index).sort((a, b) => cells[a]!.xM - cells[b]!.xM);
  byX.forEach((index, order) => {
    const cell = cells[index]!;
    for (let next = order + 1; next < byX.length && cells[byX[next]!]!.xM - cell.xM < samePlaceM; next++) {
      const other = cells[byX[next]!]!;
      if (Math.abs(other.yM - cell.yM) >= samePlaceM) continue;
      const [first, second] = byX[next]! > index ? [cell, other] : [other, cell];
      list.atValue([...path, second.name, 'at'], {
        severity: 'warning',
        code: 'cells-coincide',
        message: `'${second.name}' lies where '${first.name}' lies; give each cell its own place, or use one cell with two planes`,
      });
    }
    if (!plate.assumed.includes('size') && !onPlate([cell.xM, cell.yM], plate.sizeM)) {
      list.atValue([...path, cell.name, 'at'], {
        severity: 'warning',
        code: 'cell-outside-plate',
        message: `'${cell.name}' lies outside the plate (${sizeText(plate.sizeM)}); coordinates count from the front left corner`,
      });
    }
  });
}

function checkPlanes({ planes, plate }: LogHeader, raw: RawStrainLog, path: Path, list: ProblemList): void {
  planes.forEach((plane, index) => {
    const same = planes.slice(0, index).find((other) => Math.abs(other.heightM - plane.heightM) < sameHeightM);
    if (same) {
      list.atValue([...path, plane.name, 'height'], {
        code: 'planes-coincide',
        message: `'${plane.name}' lies at the height of '${same.name}', so bending cannot be told; heights count from the mid-plane, positive up, negative below`,
      });
    }
    if (!plate.assumed.includes('thickness') && Math.abs(plane.heightM) > plate.thicknessM / 2) {
      list.atValue([...path, plane.name, 'height'], {
        code: 'height-outside-plate',
        message: `${raw.planes?.[plane.name]?.height} lies outside a plate ${raw.plate?.thickness} thick; heights count from the mid-plane, so at most half the thickness`,
      });
    }
  });
}

function checkParts({ parts, plate }: LogHeader, path: Path, list: ProblemList): void {
  for (const part of parts) {
    const at = [...path, part.name, 'outline'];
    const outside = part.outlineM.findIndex((corner) => !onPlate(corner, plate.sizeM));
    if (!plate.assumed.includes('size') && outside >= 0) {
      list.atValue([...at, outside], {
        severity: 'warning',
        code: 'part-outside-plate',
        message: `a corner of '${part.name}' lies outside the plate (${sizeText(plate.sizeM)}); coordinates count from the front left corner`,
      });
    }
    if (crossesItself(part.outlineM)) {
      list.atValue(at, {
        severity: 'warning',
        code: 'outline-crosses-itself',
        message: `the outline of '${part.name}' crosses itself; give the corners in order around the part`,
      });
    }
  }
}

/** Place and size in metres; the edge belongs to the plate. */
export function onPlate([x, y]: readonly [number, number], [width, depth]: readonly [number, number]): boolean {
  const slack = 1e-6;
  return x >= -slack && y >= -slack && x <= width + slack && y <= depth + slack;
}

/** Such as `250 mm by 200 mm`. */
export function sizeText(sizeM: readonly [number, number]): string {
  const { scale, unit } = millimetres;
  return sizeM.map((length) => `${Number((length * scale).toPrecision(6))} ${unit}`).join(' by ');
}

type Point = readonly [number, number];

/** True where two sides that are no neighbours meet. */
function crossesItself(outline: readonly Point[]): boolean {
  const corner = (index: number): Point => outline[index % outline.length]!;
  for (let a = 0; a < outline.length; a++) {
    for (let b = a + 2; b < outline.length; b++) {
      if (a === 0 && b === outline.length - 1) continue;
      if (sidesMeet(corner(a), corner(a + 1), corner(b), corner(b + 1))) return true;
    }
  }
  return false;
}

function sidesMeet(a: Point, b: Point, c: Point, d: Point): boolean {
  const side = (p: Point, q: Point, r: Point): number =>
    Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
