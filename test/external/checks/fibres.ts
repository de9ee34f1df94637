// Fibre Bragg gratings and swept-wavelength Rayleigh sensing: sensitivities, the bonded grating, temperature references.
// Coefficients are inputs of the check, as they are of a log; the literature's spread of them is no fault of the code.
import { strainLine, temperatureLine } from '../../../src/core/strain/channelStrain.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';
import { header } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';
import type { Check } from '../check.ts';
import { floor } from '../check.ts';

const kersey = 'Kersey et al. 1997, J. Lightwave Technol. 15:1442';
const glass = 0.55e-6;
const light = 299_792_458;

interface Grating {
  readonly pe?: number;
  readonly xi?: number;
  readonly restNm?: number;
  readonly expansion?: number;
}

/** A log with one bonded grating; thermal gain at constant length, xi + pe * glass expansion. */
function bonded(
  { pe = 0.22, xi = 8.6e-6, restNm = 1550, expansion = 23.6e-6 }: Grating,
  more?: Partial<ChannelSketch>,
): LogHeader {
  return header({
    plate: { thermalExpansionPerK: expansion },
    channels: [
      {
        name: 'g',
        kind: 'bragg',
        directionDeg: 0,
        rest: restNm * 1e-9,
        strainGain: 1 - pe,
        thermalGain: xi + pe * glass,
        compensated: false,
        ...more,
      },
    ],
  });
}

/** Mechanical strain, um/m, from a shift in nm and a temperature change. */
function mechanical(grating: Grating, shiftNm: number, kelvin: number): number {
  const log = bonded(grating);
  const line = strainLine(log.channels[0]!, log);
  const reading = (grating.restNm ?? 1550) + shiftNm;
  return ((reading - line.zero) * line.perUnit - line.perKelvin * kelvin) * 1e6;
}

const picometrePerMicrostrain = (pe: number): number => {
  const log = bonded({ pe });
  return 1e-3 / strainLine(log.channels[0]!, log).perUnit;
};

/** Shift in pm per kelvin that the code ascribes to an unrestrained plate's warming. */
const bondedPicometrePerKelvin = (expansion: number): number => {
  const log = bonded({ expansion });
  const line = strainLine(log.channels[0]!, log);
  return (line.perKelvin / line.perUnit) * 1e3;
};

/** Kelvin from the shift of a loose reference grating, nm. */
const referenceKelvin = (restNm: number, shiftNm: number): number => {
  const log = bonded({ restNm }, { strainFree: true });
  const line = temperatureLine(log.channels[0]!, log);
  return (restNm + shiftNm - line.zero) * line.perUnit;
};

const sensitivities: Check[] = [
  ['pe = 0.22, usual rounding', 0.22, 1.2, 0.05, 'published, from memory'],
  ['pe = 0.22', 0.22, 1.209, 5e-4, 'closed form'],
  ['pe = 0.212', 0.212, 1.2214, 5e-5, 'closed form'],
  ['pe = 0.216 (Bertholds & Dandliker 1988)', 0.216, 1.2152, 5e-5, 'closed form'],
].map(([name, pe, expected, tolerance, basis]) => ({
  source: kersey,
  basis: basis as Check['basis'],
  quantity: `strain sensitivity at 1550 nm, ${name as string}`,
  unit: 'pm/(um/m)',
  expected: expected as number,
  tolerance: tolerance as number,
  got: () => picometrePerMicrostrain(pe as number),
}));

const hosts: Check[] = [
  ['Al 6061', 23.6e-6, 42.05],
  ['316L', 16.0e-6, 32.862],
  ['tool steel', 11.5e-6, 27.421],
  ['IN718', 13.0e-6, 29.235],
  ['Ti-6Al-4V', 8.6e-6, 23.915],
].map(([host, expansion, expected]) => ({
  source: `${kersey}; bonded: (1 - pe) ap + xi + pe af`,
  basis: 'closed form',
  quantity: `thermal response of a grating bonded to ${host as string}`,
  unit: 'pm/K',
  expected: expected as number,
  tolerance: 5e-4,
  got: () => bondedPicometrePerKelvin(expansion as number),
}));

const gratingExamples: Check[] = [
  {
    source: kersey,
    basis: 'closed form',
    quantity: 'strain from a shift of 0.605 nm at 1550 nm',
    unit: 'um/m',
    expected: 500.4136,
    tolerance: 5e-5,
    got: () => mechanical({}, 0.605, 0),
  },
  {
    source: kersey,
    basis: 'closed form',
    quantity: 'warming seen by a loose reference grating, 0.4743 nm at 1555 nm',
    unit: 'K',
    expected: 33.33509,
    tolerance: 5e-6,
    got: () => referenceKelvin(1555, 0.4743),
  },
  {
    source: kersey,
    basis: 'closed form',
    quantity: 'mechanical strain: 1.209 nm with that reference, on aluminium',
    unit: 'um/m',
    expected: -159.42,
    tolerance: 5e-4,
    got: () => mechanical({}, 1.209, referenceKelvin(1555, 0.4743)),
  },
  {
    source: `${kersey}; fibre beyond its own expansion 100 um/m at +10 K`,
    basis: 'closed form',
    quantity: 'strain of the metal (no expansion taken out) from a shift of 262.725 pm',
    unit: 'um/m',
    expected: 105.5,
    tolerance: 1e-6,
    got: () => mechanical({ expansion: 0 }, 0.262725, 10),
  },
  {
    source: 'a plate free to expand carries no mechanical strain',
    basis: 'closed form',
    quantity: 'mechanical strain of a bonded grating, free aluminium plate 40 K warmer',
    unit: 'um/m',
    expected: 0,
    tolerance: 1e-8,
    got: () => mechanical({}, 1550 * 40 * (0.78 * 23.6e-6 + 8.6e-6 + 0.22 * glass), 40),
  },
];

/** One swept-wavelength channel: K_strain 0.78, K_temperature 6.45e-6 /K of the free fibre; gains in Hz. */
function swept(lambda: number, free: boolean): LogHeader {
  const frequency = light / lambda;
  return header({
    plate: { thermalExpansionPerK: 0 },
    channels: [
      {
        name: 's',
        kind: 'spectral-shift',
        directionDeg: 0,
        strainGain: -0.78 * frequency,
        thermalGain: -(6.45e-6 - (free ? 0.78 * glass : 0)) * frequency,
        strainFree: free,
        compensated: false,
      },
    ],
  });
}

const rayleigh = 'Froggatt & Moore 1998, Appl. Opt. 37:1735; K 0.780 and 6.45e-6 /K';
const sweptStrain = (lambda: number, gigahertz: number): number => {
  const log = swept(lambda, false);
  const line = strainLine(log.channels[0]!, log);
  return (gigahertz - line.zero) * line.perUnit * 1e6;
};
const sweptKelvin = (gigahertz: number): number => {
  const log = swept(1550e-9, true);
  const line = temperatureLine(log.channels[0]!, log);
  return (gigahertz - line.zero) * line.perUnit;
};

const rayleighChecks: Check[] = [
  ['strain per GHz at 1550 nm', 'um/m', -6.6285, 5e-5, (): number => sweptStrain(1550e-9, 1), 'closed form'],
  ['strain per GHz at 1546.7 nm', 'um/m', -6.6144, 5e-5, (): number => sweptStrain(1546.7e-9, 1), 'closed form'],
  [
    'strain per GHz as usually quoted',
    'um/m',
    -6.67,
    0.07,
    (): number => sweptStrain(1550e-9, 1),
    'published, from memory',
  ],
  [
    'strain at -15 GHz (frequency falls as strain rises)',
    'um/m',
    99.428,
    5e-4,
    (): number => sweptStrain(1550e-9, -15),
    'closed form',
  ],
  ['kelvin per GHz at 1550 nm', 'K', -0.80159, 5e-6, (): number => sweptKelvin(1), 'closed form'],
  ['kelvin per GHz as usually quoted', 'K', -0.801, 0.001, (): number => sweptKelvin(1), 'published, from memory'],
  ['kelvin at +2.4951 GHz', 'K', -2, 5e-5, (): number => sweptKelvin(2.4951), 'closed form'],
].map(([quantity, unit, expected, tolerance, got, basis]) => ({
  source: rayleigh,
  basis: basis as Check['basis'],
  quantity: quantity as string,
  unit: unit as string,
  expected: expected as number,
  tolerance: tolerance as number,
  got: got as () => number,
}));

/** Celsius and kelvin columns must give the same temperature change. */
const units: Check[] = [
  {
    source: 'SI Brochure, degree Celsius: t = T - 273.15 K',
    basis: 'published, from memory',
    quantity: '35 deg_C read as an absolute temperature',
    unit: 'K',
    expected: 308.15,
    tolerance: 308 * floor,
    got: (): number => {
      const log = header({ channels: [{ name: 'T', kind: 'temperature', unit: 'deg_C' }] });
      const line = temperatureLine(log.channels[0]!, log);
      return (35 - line.zero) * line.perUnit;
    },
  },
];

export const fibreChecks: readonly Check[] = [
  ...sensitivities,
  ...hosts,
  ...gratingExamples,
  ...rayleighChecks,
  ...units,
];
