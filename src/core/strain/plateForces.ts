// Net force and moment carried by the whole plate: each cell stands for the area nearer to it than to any other cell
// (Voronoi, clipped to the plate), and forces and moments per length are averaged over these areas. Times the width they
// are the resultants over a section, averaged along the plate: Fx and Mx over a section normal to x, and so on.
// Source of the areas: Thiessen 1911; computed with d3-delaunay.
import { Delaunay } from 'd3-delaunay';
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
  const picked = points.map((_, i) => i).filter((i) => known[i]);
  const areas = points.map(() => 0);
  if (picked.length === 0) return areas;
  const voronoi = Delaunay.from(
    picked,
    (i) => points[i]![0],
    (i) => points[i]![1],
  ).voronoi([0, 0, width, depth]);
  picked.forEach((i, k) => {
    areas[i] = polygonArea(voronoi.cellPolygon(k) ?? []);
  });
  return areas;
}

function polygonArea(corners: readonly (readonly number[])[]): number {
  let twice = 0;
  for (let i = 0; i < corners.length; i++) {
    const [x, y] = corners[i]!;
    const [nextX, nextY] = corners[(i + 1) % corners.length]!;
    twice += x! * nextY! - nextX! * y!;
  }
  return Math.abs(twice) / 2;
}
