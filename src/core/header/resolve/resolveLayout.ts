// Planes, cells and parts of the header in SI units. An item with an error of its own is left out (its problem says so).
import type { Cell, Part, Plane } from '../logHeader.ts';
import type { ProblemList } from '../problemList.ts';
import { siOf } from '../units/quantity.ts';
import type { RawStrainLog } from '../schema/schema.ts';
import type { Path } from '../yaml/yamlPlaces.ts';

export function resolvePlanes(raw: RawStrainLog['planes'], path: Path, list: ProblemList): Plane[] {
  const names = Object.keys(raw ?? {});
  return names.flatMap((name) => {
    const height = raw?.[name]?.height;
    if (height === undefined && names.length > 1) {
      list.atKey([...path, name], {
        code: 'height-missing',
        message: `with more than one plane each needs its height; give '${name}' a height from the mid-plane, for example {height: 9 mm}`,
      });
    }
    return list.spoilt([...path, name]) ? [] : [{ name, heightM: siOf(height, 'length', NaN) }];
  });
}

export function resolveCells(raw: RawStrainLog['cells'], path: Path, list: ProblemList): Cell[] {
  return Object.keys(raw).flatMap((name) => {
    if (list.spoilt([...path, name])) return [];
    const [x, y] = raw[name]!.at;
    return [{ name, xM: siOf(x, 'length', NaN), yM: siOf(y, 'length', NaN) }];
  });
}

export function resolveParts(raw: RawStrainLog['parts'], path: Path, list: ProblemList): Part[] {
  return Object.keys(raw ?? {}).flatMap((name) => {
    if (list.spoilt([...path, name])) return [];
    const outline = raw![name]!.outline.map(([x, y]): readonly [number, number] => [
      siOf(x, 'length', NaN),
      siOf(y, 'length', NaN),
    ]);
    return [{ name, outlineM: outline }];
  });
}
