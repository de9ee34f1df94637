// The plate as the incidents see it: where the cells lie, how far apart, which are neighbours, whose outline a point
// lies under. Metres, origin at the plate's front left corner, x right, y back.
import type { LogHeader, Part } from '../../header/logHeader.ts';
import type { CellLayout } from '../../strain/layout.ts';

export interface PlateFrame {
  readonly xM: readonly number[];
  readonly yM: readonly number[];
  /** Median distance from a cell to its nearest neighbour; the plate's smaller side where there is one cell. */
  readonly pitchM: number;
  /** Cells that measure strain. */
  readonly cells: readonly number[];
  /** Per cell: header indices of its strain channels, in the order of a finding's `delta`. */
  readonly channels: readonly (readonly number[])[];
}

export function plateFrame(header: LogHeader, layouts: readonly CellLayout[]): PlateFrame {
  const measuring = layouts.filter((l) => l.rosettes.length > 0).map((l) => l.cell);
  const xM = header.cells.map((c) => c.xM);
  const yM = header.cells.map((c) => c.yM);
  const nearest = measuring
    .map((i) => Math.min(...measuring.filter((k) => k !== i).map((k) => Math.hypot(xM[i]! - xM[k]!, yM[i]! - yM[k]!))))
    .filter((d) => d > 0 && Number.isFinite(d))
    .sort((a, b) => a - b);
  const pitchM = nearest[nearest.length >> 1] ?? Math.min(...header.plate.sizeM);
  const channels: number[][] = header.cells.map(() => []);
  for (const { cell, rosettes } of layouts) channels[cell] = rosettes.flatMap((r) => r.channels);
  return { xM, yM, pitchM, cells: measuring, channels };
}

/** Distance between two cells in pitches. */
export function pitches(frame: PlateFrame, a: number, b: number): number {
  return Math.hypot(frame.xM[a]! - frame.xM[b]!, frame.yM[a]! - frame.yM[b]!) / frame.pitchM;
}

export interface PartPlace {
  readonly name: string;
  /** 0 where the point lies inside the outline. */
  readonly distanceM: number;
}

/** The part over a point: the one whose outline holds it, else the nearest; undefined where the log names no parts. */
export function partAt(parts: readonly Part[], x: number, y: number): PartPlace | undefined {
  let best: PartPlace | undefined;
  for (const part of parts) {
    const distanceM = inside(part.outlineM, x, y) ? 0 : distanceTo(part.outlineM, x, y);
    if (!best || distanceM < best.distanceM) best = { name: part.name, distanceM };
  }
  return best;
}

/** Even-odd rule: a ray to the right crosses the outline an odd number of times. */
function inside(outline: Part['outlineM'], x: number, y: number): boolean {
  let odd = false;
  for (let i = 0, k = outline.length - 1; i < outline.length; k = i++) {
    const [xi, yi] = outline[i]!;
    const [xk, yk] = outline[k]!;
    if (yi > y !== yk > y && x < xi + ((y - yi) / (yk - yi)) * (xk - xi)) odd = !odd;
  }
  return odd;
}

function distanceTo(outline: Part['outlineM'], x: number, y: number): number {
  let least = Infinity;
  for (let i = 0, k = outline.length - 1; i < outline.length; k = i++) {
    const [ax, ay] = outline[k]!;
    const [bx, by] = outline[i]!;
    const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
    const along = length2 > 0 ? Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length2)) : 0;
    least = Math.min(least, Math.hypot(x - ax - along * (bx - ax), y - ay - along * (by - ay)));
  }
  return least;
}
