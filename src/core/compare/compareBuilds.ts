// One build against good ones, whoever asks: the bands, what lies outside them, and what to be careful about.
// In: builds as profiles with their headers. Out: dimensionless strain throughout.
import { cellsWithHeat } from '../display/text/heatLeft.ts';
import { byCell, sickCells } from '../display/text/sickText.ts';
import { measureIn, millimetres } from '../display/units.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { listed } from '../header/schema/wording.ts';
import { compareToBands } from './excursions.ts';
import type { Comparison } from './excursions.ts';
import type { LayerProfile } from './layerProfile.ts';
import { referenceBands, spreadUncertainty } from './referenceBand.ts';
import type { Band, BandOptions } from './referenceBand.ts';

export interface ProfiledBuild {
  /** As shown to the user. */
  readonly name: string;
  readonly header: LogHeader;
  readonly profile: LayerProfile;
}

export interface BuildComparison {
  readonly bands: readonly Band[];
  readonly comparison: Comparison;
  readonly cautions: readonly string[];
}

/**
 * `coverage` is the share of good builds that a layer's band is to hold, 0 to 1.
 * @throws Error, in words for the user, for fewer than two good builds or builds with nothing in common.
 */
export function compareBuilds(log: ProfiledBuild, good: readonly ProfiledBuild[], coverage: number): BuildComparison {
  if (good.length < 2) throw new Error('a comparison needs two good builds at least, other than the log itself');
  const options = { coverage, smallest: log.header.detection.smallestJump };
  const bands = referenceBands(
    good.map(({ profile }) => profile),
    options,
  );
  if (bands.length === 0) {
    throw new Error('the good builds have no cell and layer in common with each other; nothing can be compared');
  }
  const comparison = compareToBands(log.profile, bands);
  if (comparison.compared === 0) {
    throw new Error('the log has no cell and layer in common with the good builds; nothing can be compared');
  }
  const spread = Math.round(100 * spreadUncertainty(good.length));
  const cautions = [
    ...differences(log, good),
    ...[log, ...good].flatMap(sickChannels),
    ...[log, ...good].flatMap(heatLeft),
    ...good
      .filter((one) => oddOneOut(one, good, options))
      .map(({ name }) => `${name} itself lies outside the band of the other good builds; is it one?`),
    ...(comparison.unmatched.length > 0
      ? [`not compared, for want of good builds: ${comparison.unmatched.join(', ')}`]
      : []),
    `with ${good.length} good builds their spread is known to about ±${spread} %`,
  ];
  return { bands, comparison, cautions };
}

/** Each good build against the others: with fewer than two others nothing can be said. */
function oddOneOut(one: ProfiledBuild, good: readonly ProfiledBuild[], options: BandOptions): boolean {
  const others = good.filter((other) => other !== one).map(({ profile }) => profile);
  if (others.length < 2) return false;
  return compareToBands(one.profile, referenceBands(others, options)).excursions.length > 0;
}

/** Told of good builds as well: their values make the band. */
function sickChannels({ name, header, profile }: ProfiledBuild): string[] {
  return sickCells(byCell(profile.sick), (cell) => header.cells[cell]!.name).map((text) => `${name}: ${text}`);
}

/** What heat does to a cell is taken for what the build does to it. */
function heatLeft({ name, header }: ProfiledBuild): string[] {
  const cells = cellsWithHeat(header).map((cell) => header.cells[cell]!.name);
  return cells.length === 0
    ? []
    : [`${name}: no channel tells the temperature of ${listed(cells)}, so heat counts as strain there`];
}

/** Builds are alike only on like plates with cells at the same places. */
function differences(log: ProfiledBuild, good: readonly ProfiledBuild[]): string[] {
  const told: string[] = [];
  for (const { header, profile } of good) {
    const { plate } = header;
    if (plate.material !== log.header.plate.material) told.push(`${profile.name} has a plate of another material`);
    if (Math.abs(plate.thicknessM - log.header.plate.thicknessM) > 1e-4) {
      told.push(`${profile.name} has a plate of another thickness, ${measureIn(millimetres, plate.thicknessM)}`);
    }
    const moved = header.cells.filter((cell) => {
      const own = log.header.cells.find(({ name }) => name === cell.name);
      return own && Math.hypot(own.xM - cell.xM, own.yM - cell.yM) > 1e-3;
    });
    if (moved.length > 0)
      told.push(`${profile.name} has cells at other places: ${moved.map(({ name }) => name).join(', ')}`);
  }
  return told;
}
