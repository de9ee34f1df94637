// Plane stress: handbook constants and worked examples. Strains in um/m, stresses in MPa.
import {
  energyDensity,
  planeStress,
  principalStress,
  shearModulus,
  vonMises,
  yieldMargin,
} from '../../../src/core/strain/hooke.ts';
import type { Material } from '../../../src/core/strain/hooke.ts';
import { principal } from '../../../src/core/strain/principal.ts';
import { aluminiumPlate } from '../../support/strainLog.ts';
import type { Check } from '../check.ts';

const of = (gigapascal: number, nu: number, yieldMegapascal = NaN): Material => ({
  youngsModulusPa: gigapascal * 1e9,
  poissonsRatio: nu,
  yieldStressPa: yieldMegapascal * 1e6,
});

type State = readonly [ex: number, ey: number, gxy: number];

function stresses(material: Material, [x, y, g]: State): Record<string, number> {
  const tensor = [x * 1e-6, y * 1e-6, g * 1e-6] as const;
  const stress = planeStress(...tensor, material);
  const { e1, e2 } = principal(...tensor);
  const { s1, s2 } = principalStress(e1, e2, material);
  return {
    sx: stress.sx * 1e-6,
    sy: stress.sy * 1e-6,
    txy: stress.txy * 1e-6,
    s1: s1 * 1e-6,
    s2: s2 * 1e-6,
    vm: vonMises(s1, s2) * 1e-6,
  };
}

function example(
  source: string,
  basis: Check['basis'],
  material: Material,
  state: State,
  expected: Readonly<Record<string, readonly [number, number]>>,
): Check[] {
  return Object.entries(expected).map(([key, [value, tolerance]]) => ({
    source,
    basis,
    quantity: `${key} at ex, ey, gxy = ${state.join(', ')} um/m`,
    unit: 'MPa',
    expected: value,
    tolerance,
    got: () => stresses(material, state)[key]!,
  }));
}

const thermal = 23.6e-6 * 30;
const hooke = 'Timoshenko & Goodier, plane stress, solved apart with numpy';

export const stressChecks: readonly Check[] = [
  {
    source: 'MIL-HDBK-5, 6061-T6: E 68.9 GPa, nu 0.33, G 26 GPa',
    basis: 'published, from memory',
    quantity: 'shear modulus of 6061-T6',
    unit: 'GPa',
    expected: 26,
    tolerance: 0.5,
    got: () => shearModulus(aluminiumPlate) * 1e-9,
  },
  {
    source: 'ASM handbook, Ti-6Al-4V: E 113.8 GPa, nu 0.342, G 44 GPa',
    basis: 'published, from memory',
    quantity: 'shear modulus of Ti-6Al-4V (isotropic E and nu give 4 % less)',
    unit: 'GPa',
    expected: 44,
    tolerance: 2,
    got: () => shearModulus(of(113.8, 0.342)) * 1e-9,
  },
  ...example(hooke, 'closed form', of(200, 0.3), [60, 246, -149], {
    sx: [29.4066, 5e-5],
    sy: [58.022, 5e-5],
    txy: [-11.4615, 5e-5],
    s1: [62.0467, 5e-5],
    s2: [25.3819, 5e-5],
    vm: [54.0293, 5e-5],
  }),
  ...example(hooke, 'closed form', of(68.9, 0.33), [500, -200, 300], {
    s1: [35.1519, 5e-5],
    s2: [-4.3012, 5e-5],
    vm: [37.4881, 5e-5],
  }),
  ...example('uniaxial test: ey = -nu ex leaves sx = E ex alone', 'closed form', of(210, 0.3), [1000, -300, 0], {
    sx: [210, 2.1e-7],
    sy: [0, 1e-7],
    vm: [210, 2.1e-7],
  }),
  ...example('equal biaxial: s = E e / (1 - nu)', 'closed form', of(113.8, 0.342), [1000, 1000, 0], {
    s1: [172.948, 5e-4],
    s2: [172.948, 5e-4],
  }),
  {
    source: 'Timoshenko & Goodier, restrained plate: s = -E a dT / (1 - nu)',
    basis: 'closed form',
    quantity: 'stress of 6061 held while 30 K warmer (mechanical strain -a dT)',
    unit: 'MPa',
    expected: -72.8078,
    tolerance: 5e-5,
    got: () => planeStress(-thermal, -thermal, 0, aluminiumPlate).sx * 1e-6,
  },
  {
    source: 'von Mises 1913: pure shear yields at sy / sqrt 3',
    basis: 'closed form',
    quantity: 'margin to yield of 6061 in pure shear of 100 MPa',
    unit: '',
    expected: 276 / (100 * Math.sqrt(3)) - 1,
    tolerance: 1e-9,
    got: () => yieldMargin(vonMises(100e6, -100e6), aluminiumPlate.yieldStressPa),
  },
  {
    source: 'uniaxial bar: energy density s^2 / 2 E',
    basis: 'closed form',
    quantity: 'elastic energy of 210 MPa at 210 GPa',
    unit: 'kJ/m3',
    expected: 105,
    tolerance: 105e-9,
    got: () => energyDensity(1000e-6, -300e-6, of(210, 0.3)) * 1e-3,
  },
];
