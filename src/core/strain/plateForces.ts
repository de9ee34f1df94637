// Net force and moment carried by the whole plate: each cell stands for the area nearer to it than to any other cell
// (Voronoi, clipped to the plate), and forces and moments per length are averaged over these areas. Times the width they
// are the resultants over a section, averaged along the plate: Fx and Mx over a section normal to x, and so on.
// Source of the areas: Thiessen 1911. Each is the plate cut by the bisectors to all other cells: for tens of cells that is
// quick, and unlike a triangulation it does not fail for cells in one line.
import type { LogHeader } from '../header/logHeader.ts';
import type { InPlane } from './plates.ts';

export interface PlateResultants {
  /** Fx, Fy in N over sections normal to x and y; Fxy the shear force along a section normal to x. */
  readonly force: InPlane;
  /** Mx, My in N m over the same sections, positive with the top in tension; the twist Mxy over a section normal to x. */
  readonly moment: InPlane;
}

export class PlateForces {
  readonly #sizeM: readonly [number, number];
  readonly #points: readonly (readonly [number, number])[];
  #mask = '';
  #areas: readonly number[] = [];

  /** `cells` are the header's cells that have forces and moments, in the order in which these will be given. */
  constructor(header: LogHeader, cells: readonly number[]) {
    this.#sizeM = header.plate.sizeM;
    this.#points = cells.map((cell) => [header.cells[cell]!.xM, header.cells[cell]!.yM]);
  }

  /** Share of the plate, m^2, of each cell whose value is known; 0 for the others. */
  areas(known: readonly boolean[]): readonly number[] {
    const mask = known.map((k) => (k ? '1' : '0')).join('');
    if (mask !== this.#mask) {
      this.#areas = voronoiAreas(this.#points, known, this.#sizeM);
      this.#mask = mask;
    }
    return this.#areas;
  }

  /** Per cell forces in N/m and moments in N m/m, NaN where undefined; NaN where no cell has any. */
  at(forces: readonly InPlane[], moments: readonly InPlane[]): PlateResultants {
    const known = forces.map((force, i) => ![...force, ...moments[i]!].some(Number.isNaN));
    const areas = this.areas(known);
    const total = areas.reduce((sum, area) => sum + area, 0);
    const mean = (values: readonly InPlane[], c: 0 | 1 | 2): number => {
      const sum = values.reduce((all, value, i) => (known[i] ? all + areas[i]! * value[c] : all), 0);
      return total > 0 ? sum / total : NaN;
    };
    const [width, depth] = this.#sizeM;
    const over = (values: readonly InPlane[]): InPlane => [
      mean(values, 0) * depth,
      mean(values, 1) * width,
      mean(values, 2) * depth,
    ];
    return { force: over(forces), moment: over(moments) };
  }
}

function voronoiAreas(
  points: readonly (readonly [number, number])[],
  known: readonly boolean[],
  [width, depth]: readonly [number, number],
): number[] {
  const areas = points.map(() => 0);
  // Cells at one place share one area.
  const places = new Map<string, number[]>();
  points.forEach(([x, y], i) => {
    if (known[i]) places.set(`${x} ${y}`, [...(places.get(`${x} ${y}`) ?? []), i]);
  });
  const sites = [...places.values()].map((cells) => ({ cells, point: points[cells[0]!]! }));
  for (const { cells, point } of sites) {
    let region: Polygon = [
      [0, 0],
      [width, 0],
      [width, depth],
      [0, depth],
    ];
    for (const other of sites) if (other.point !== point) region = nearer(region, point, other.point);
    for (const cell of cells) areas[cell] = polygonArea(region) / cells.length;
  }
  return areas;
}

type Polygon = readonly (readonly [number, number])[];

/** The part of a convex polygon that is nearer to `site` than to `other` (Sutherland & Hodgman 1974). */
function nearer(region: Polygon, site: readonly [number, number], other: readonly [number, number]): Polygon {
  const [nx, ny] = [other[0] - site[0], other[1] - site[1]];
  const [mx, my] = [(site[0] + other[0]) / 2, (site[1] + other[1]) / 2];
  const beyond = ([x, y]: readonly [number, number]): number => (x - mx) * nx + (y - my) * ny;
  const kept: [number, number][] = [];
  region.forEach((corner, i) => {
    const next = region[(i + 1) % region.length]!;
    const [here, there] = [beyond(corner), beyond(next)];
    if (here <= 0) kept.push([corner[0], corner[1]]);
    if (here < 0 !== there < 0 && here !== there) {
      const part = here / (here - there);
      kept.push([corner[0] + part * (next[0] - corner[0]), corner[1] + part * (next[1] - corner[1])]);
    }
  });
  return kept;
}

function polygonArea(corners: Polygon): number {
  let twice = 0;
  corners.forEach(([x, y], i) => {
    const [nextX, nextY] = corners[(i + 1) % corners.length]!;
    twice += x * nextY - nextX * y;
  });
  return Math.abs(twice) / 2;
}
