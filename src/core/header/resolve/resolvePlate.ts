// The plate: what the header says, else what the material's row says, else the stated default; with a record of which.
import type { Plate } from '../logHeader.ts';
import { defaults } from '../schema/defaults.ts';
import { defaultMaterial, findMaterial, materials } from '../schema/materials.ts';
import { nearest } from '../nearest.ts';
import type { ProblemList } from '../problemList.ts';
import { siOf } from '../units/quantity.ts';
import type { RawStrainLog } from '../schema/schema.ts';
import type { Path } from '../yaml/yamlPlaces.ts';
import { changeTo } from '../schema/wording.ts';

type RawPlate = NonNullable<RawStrainLog['plate']>;

/** `reach` is the farthest x and y of cells and parts, for the default size. */
export function resolvePlate(
  raw: RawPlate | undefined,
  reach: readonly [number, number],
  path: Path,
  list: ProblemList,
): Plate {
  const faulty = list.spoilt(path); // then the analysis stops; what is faulty is told already
  const plate: RawPlate = faulty ? {} : (raw ?? {});
  const row = plate.material === undefined ? defaultMaterial : findMaterial(plate.material);
  const fallback = row ?? defaultMaterial;
  const constants = ['youngs_modulus', 'poissons_ratio', 'thermal_expansion', 'yield_stress'] as const;
  const lackingConstants = constants.filter((key) => plate[key] === undefined);
  const assumed = (['size', 'thickness', 'material', ...constants] as const).filter((key) => plate[key] === undefined);
  if (plate.material !== undefined && !row && lackingConstants.length > 0)
    unknownMaterial(plate.material, lackingConstants, path, list);
  const guessed = [
    ...(plate.thickness === undefined ? [`thickness ${defaults.thickness}`] : []),
    ...(plate.material === undefined ? lackingConstants.map((key) => `${key} of ${defaultMaterial.name}`) : []),
  ];
  if (guessed.length > 0 && !faulty) {
    list.atKey(raw ? path : path.slice(0, -1), {
      severity: 'warning',
      code: 'plate-assumed',
      message: `the header does not say, so these are assumed: ${guessed.join(', ')}; give them under plate, for strain, stresses and moments rest on them`,
    });
  }
  const [sizeX, sizeY] = plate.size ?? [undefined, undefined];
  return {
    sizeM: [siOf(sizeX, 'length', reach[0] * 1.1), siOf(sizeY, 'length', reach[1] * 1.1)],
    thicknessM: siOf(plate.thickness ?? defaults.thickness, 'length', NaN),
    material: plate.material ?? defaultMaterial.name,
    youngsModulusPa: siOf(plate.youngs_modulus, 'stress', fallback.youngsModulusPa),
    poissonsRatio: plate.poissons_ratio ?? fallback.poissonsRatio,
    thermalExpansionPerK: siOf(plate.thermal_expansion, 'per kelvin', fallback.thermalExpansionPerK),
    yieldStressPa: siOf(plate.yield_stress, 'stress', fallback.yieldStressPa),
    assumed,
  };
}

function unknownMaterial(name: string, lacking: readonly string[], path: Path, list: ProblemList): void {
  const near = nearest(
    name,
    materials.flatMap((row) => [row.name, ...row.otherNames]),
  );
  list.atValue([...path, 'material'], {
    severity: 'warning',
    code: 'material-unknown',
    message: `'${name}' is not in the table of materials, so ${lacking.join(', ')} of ${defaultMaterial.name} are taken; give ${lacking.length === 1 ? 'it' : 'them'} under plate${near ? `, or did you mean '${near}'?` : ''}`,
    ...changeTo(near),
  });
}
