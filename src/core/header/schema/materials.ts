// Constants of usual plate materials (wrought, about 20 degC), each row with its handbook. They stand in where the header
// names a material and leaves a constant out; what the header says always wins. SI units.
// The handbook figures are from memory of the named publications; as-built and heat-treated stock differs by several
// per cent, so a plate that matters is measured.

export interface Material {
  readonly name: string;
  readonly otherNames: readonly string[];
  readonly youngsModulusPa: number;
  readonly poissonsRatio: number;
  readonly thermalExpansionPerK: number;
  readonly yieldStressPa: number;
  readonly source: string;
}

function material(
  names: readonly [string, ...string[]],
  gigapascal: number,
  poissonsRatio: number,
  microPerKelvin: number,
  yieldMegapascal: number,
  source: string,
): Material {
  const [name, ...otherNames] = names;
  return {
    name,
    otherNames,
    youngsModulusPa: gigapascal * 1e9,
    poissonsRatio,
    thermalExpansionPerK: microPerKelvin * 1e-6,
    yieldStressPa: yieldMegapascal * 1e6,
    source,
  };
}

const asm2 = 'ASM Handbook vol. 2 (1990)';
const asm1 = 'ASM Handbook vol. 1 (1990)';
const mil = 'MIL-HDBK-5J (2003)';

export const materials: readonly Material[] = [
  material(['Al 6061-T6', '6061', '6061-T6', 'Aluminium 6061-T6'], 68.9, 0.33, 23.6, 276, asm2),
  material(['304', 'AISI 304', '1.4301'], 193, 0.29, 17.2, 215, asm1),
  material(['316L', 'AISI 316L', '1.4404'], 193, 0.3, 16.0, 170, asm1),
  material(['H13', '1.2344'], 210, 0.3, 11.5, 1500, asm1),
  material(['C45', '1045', '1.0503', 'plain steel'], 207, 0.29, 11.5, 340, asm1),
  material(['Ti-6Al-4V', 'Ti64', 'grade 5 titanium'], 113.8, 0.342, 8.6, 880, mil),
  material(['IN718', '718', '2.4668'], 200, 0.29, 13.0, 1030, mil),
];

/** The row for a name or one of its other names, whatever its case and spacing. */
export function findMaterial(name: string): Material | undefined {
  const plain = (text: string): string => text.toLowerCase().replace(/[\s_-]+/g, '');
  return materials.find((row) => [row.name, ...row.otherNames].some((known) => plain(known) === plain(name)));
}

/** The row taken where the header names no material. */
export const defaultMaterial = materials[0]!;
