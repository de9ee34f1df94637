// The share of the plate of each cell against another library's Voronoi diagram.
import { Delaunay } from 'd3-delaunay';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { PlateForces } from '../../../src/core/strain/plateForces.ts';
import { header } from '../../support/strainLog.ts';
import type { Check } from '../check.ts';

function worstArea(): number {
  const random = new RandomStream(5, 'areas');
  let worst = 0;
  for (let round = 0; round < 200; round++) {
    const count = 2 + Math.floor(random.between(0, 30));
    const cells = Array.from({ length: count }, (_, i) => ({
      name: `c${i}`,
      xM: random.between(0, 0.25),
      yM: random.between(0, 0.25),
    }));
    const log = header({ channels: [], cells });
    const ours = new PlateForces(
      log,
      cells.map((_, i) => i),
    ).areas(cells.map(() => true));
    const voronoi = Delaunay.from(cells.map(({ xM, yM }): [number, number] => [xM, yM])).voronoi([0, 0, 0.25, 0.25]);
    ours.forEach((area, i) => {
      const corners = voronoi.cellPolygon(i);
      const twice = corners.slice(1).reduce((sum, [x, y], k) => sum + corners[k]![0] * y - x * corners[k]![1], 0);
      worst = Math.max(worst, Math.abs(area - Math.abs(twice) / 2) / 0.0625);
    });
  }
  return worst;
}

export const areaChecks: readonly Check[] = [
  {
    source: 'd3-delaunay, Voronoi cells clipped to the plate, 200 random layouts',
    basis: 'another library',
    quantity: 'share of the plate of each cell, largest difference',
    unit: 'of plate',
    expected: 0,
    // Their corners come from circumcentres, which lose digits where three cells lie almost in line.
    tolerance: 1e-6,
    got: worstArea,
  },
];
