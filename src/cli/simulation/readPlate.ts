// The `plate` of a scenario and its `planes`.
import { findMaterial, materials } from '../../core/header/schema/materials.ts';
import { nearest } from '../../core/header/nearest.ts';
import type { PlateScenario, Scenario } from './scenario.ts';
import type { ScenarioSection } from './scenarioSection.ts';

const unknownMaterial = { youngsModulusPa: NaN, poissonsRatio: NaN, thermalExpansionPerK: NaN, yieldStressPa: NaN };

/** Constants that are not written are those of the material, where its name is known. */
export function readPlate(section: ScenarioSection): PlateScenario {
  const size = section.point('size');
  if (!size) section.say('size', "is missing; add it, such as '[250 mm, 250 mm]'");
  const material = section.text('material', 'Al 6061-T6');
  const known = findMaterial(material);
  const lacks = ['youngs_modulus', 'poissons_ratio', 'thermal_expansion', 'yield_stress'].filter(
    (key) => !section.has(key),
  );
  // Told once, at the name; what a known material would stand in for is then not told to be missing.
  if (!known && lacks.length > 0) {
    const names = materials.map(({ name }) => name);
    const near = nearest(material, names);
    const remedy = near ? `did you mean '${near}'` : `choose one of ${names.join(', ')}`;
    section.say('material', `'${material}' is not known; ${remedy}, or give its ${lacks.join(', ')}`);
  }
  const standard = known ?? unknownMaterial;
  const plate = {
    sizeM: size ?? ([NaN, NaN] as const),
    thicknessM: section.quantity('thickness', 'length', undefined, 1e-4),
    material,
    youngsModulusPa: section.quantity('youngs_modulus', 'stress', standard.youngsModulusPa, 1),
    poissonsRatio: section.number('poissons_ratio', standard.poissonsRatio, 0, 0.49),
    thermalExpansionPerK: section.quantity('thermal_expansion', 'per kelvin', standard.thermalExpansionPerK, 0),
    yieldStressPa: section.quantity('yield_stress', 'stress', standard.yieldStressPa, 1),
    bendingShare: section.number('bending_share', 0.6, 0, 1),
    restraint: section.number('restraint', 0.02, 0, 1),
  };
  section.finish();
  return plate;
}

export function readPlanes(top: ScenarioSection, plate: PlateScenario): Scenario['planes'] {
  const planes = top.entries('planes').map(([name, section]) => {
    const half = plate.thicknessM / 2;
    const heightM = section.quantity('height', 'length', undefined, -half, half);
    section.finish();
    return { name, heightM };
  });
  return planes.length > 0 ? planes : [{ name: 'up', heightM: plate.thicknessM * 0.3 }];
}
