// A field between the cells, for the eye only: linear (barycentric) interpolation on the Delaunay triangles of the cells,
// cut into bands of equal steps. Nothing is drawn outside the cells' hull, since there is nothing there to interpolate,
// nor across a cell without a value. Positions in page units; the triangulation is d3-delaunay's.
import { Delaunay } from 'd3-delaunay';
import { niceStep } from '../ticks.ts';

export interface FieldPoint {
  readonly x: number;
  readonly y: number;
  /** NaN where the cell has no value. */
  readonly value: number;
}

export interface Band {
  readonly from: number;
  readonly to: number;
  /** SVG path of all of the band's polygons, '' where the field does not reach it. */
  readonly path: string;
}

/** Bands between round limits that hold every value; a signed field gets limits on both sides of zero alike. */
export function fieldBands(points: readonly FieldPoint[], signed: boolean, most = 13): Band[] {
  const known = points.filter(({ value }) => Number.isFinite(value));
  if (known.length < 3) return [];
  const limits = bandLimits(
    known.map(({ value }) => value),
    signed,
    most,
  );
  const { triangles } = Delaunay.from(known.map(({ x, y }): [number, number] => [x, y]));
  const paths = limits.slice(1).map(() => [] as string[]);
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = [known[triangles[i]!]!, known[triangles[i + 1]!]!, known[triangles[i + 2]!]!];
    paths.forEach((list, band) => {
      const polygon = clip(clip(corners, limits[band]!, 1), limits[band + 1]!, -1);
      if (polygon.length >= 3) list.push(outline(polygon));
    });
  }
  return paths.map((list, band) => ({ from: limits[band]!, to: limits[band + 1]!, path: list.join('') }));
}

function bandLimits(values: readonly number[], signed: boolean, most: number): number[] {
  const largest = Math.max(...values.map(Math.abs));
  const low = signed ? -largest : Math.min(...values);
  const high = signed ? largest : Math.max(...values);
  // A field flat to nine digits is one band: finer steps would be rounding, not field.
  const step = niceStep(Math.max(high - low, 1e-9 * largest, 1e-290), most - 2);
  // A signed field has one band about zero, so that 'nothing' is a band and not an edge.
  const shift = signed ? 0.5 : 0;
  const first = Math.floor(low / step - shift - 1e-9) + shift;
  const last = Math.ceil(high / step - shift + 1e-9) + shift;
  return Array.from({ length: Math.round(last - first) + 1 }, (_, i) => (first + i) * step);
}

/** The part of a polygon at or above the limit (side 1), or below it (side -1): Sutherland and Hodgman, 1974. A flat
 * polygon right at a limit so belongs to one band alone. */
function clip(polygon: readonly FieldPoint[], limit: number, side: 1 | -1): FieldPoint[] {
  const kept: FieldPoint[] = [];
  const keeps = ({ value }: FieldPoint): boolean => (side > 0 ? value >= limit : value < limit);
  polygon.forEach((here, i) => {
    const next = polygon[(i + 1) % polygon.length]!;
    const inside = keeps(here);
    if (inside) kept.push(here);
    if (inside !== keeps(next)) {
      const share = (limit - here.value) / (next.value - here.value);
      kept.push({ x: here.x + (next.x - here.x) * share, y: here.y + (next.y - here.y) * share, value: limit });
    }
  });
  return kept;
}

function outline(polygon: readonly FieldPoint[]): string {
  const corner = ({ x, y }: FieldPoint): string => `${Math.round(x * 100) / 100} ${Math.round(y * 100) / 100}`;
  return `M${polygon.map(corner).join('L')}Z`;
}
