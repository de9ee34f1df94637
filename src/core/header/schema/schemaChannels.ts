// The part of the header's schema that describes the measured channels: their kind, place, direction and gains.
import * as v from 'valibot';
import { defaults } from './defaults.ts';
import { flag, number, oneOf, quantity, text } from './field.ts';

export const channelKinds = ['temperature', 'bragg', 'spectral-shift', 'strain'] as const;
/** No fibre answers strain this many times less or more than silica does. */
const farOff = 100;

const gains = {
  rest: v.optional(
    v.pipe(
      v.string(),
      v.metadata({
        meaning:
          'Reading without strain: the wavelength of a bragg channel, the reference reading of a spectral-shift channel.',
        default: 'required for bragg; 0 GHz for spectral-shift',
        example: '1550.120 nm',
        byKind: {
          bragg: { dimension: 'length', unit: 'nm' },
          'spectral-shift': { dimension: 'frequency', unit: 'GHz' },
        },
        ofKinds: ['bragg', 'spectral-shift'],
      }),
    ),
  ),
  strain_gain: v.optional(
    number({
      ofKinds: ['bragg'],
      meaning:
        'bragg: relative shift of wavelength per strain of the fibre, 1 - pe (pe: effective photo-elastic coefficient).',
      default: `${defaults.strainGain} (silica, pe = 0.22; Kersey et al. 1997)`,
      usual: ['0.5', '1'],
      example: '0.78',
      limits: {
        size: [0.78 / farOff, 0.78 * farOff],
        code: 'gain-zero',
        remedy: 'strain cannot be read with a gain of zero, or so far from that of any fibre; silica has 0.78',
      },
    }),
  ),
  thermal_gain: v.optional(
    quantity('per kelvin', {
      ofKinds: ['bragg', 'strain'],
      meaning:
        'bragg: relative shift of wavelength per kelvin at constant fibre length (thermo-optic plus photo-elastic times the expansion of the glass). For a strain-free reference too: the expansion of its glass is added. strain: what the reading shows per kelvin at constant fibre length; where it is the shift of wavelength over the gain, the gain for temperature over that for strain: 6.5e-6 1/K / 0.78 = 8.3e-6 1/K.',
      default: `${defaults.thermalGain} for bragg; ${defaults.apparentStrain} for strain (the true total strain, thermal expansion included)`,
      usual: ['0 1/K', '60e-6 1/K'],
      example: '6.5e-6 1/K',
    }),
  ),
  strain_slope: v.optional(
    quantity('frequency per strain', {
      ofKinds: ['spectral-shift'],
      meaning:
        'spectral-shift: shift of optical frequency per strain of the fibre; negative, for frequency falls as strain rises.',
      default: `${defaults.strainSlope} (silica at 1550 nm, strain coefficient 0.78)`,
      usual: ['-0.3 GHz/(um/m)', '-0.05 GHz/(um/m)'],
      example: '-0.1509 GHz/(um/m)',
      limits: {
        // Hz per strain.
        size: [0.1509e15 / farOff, 0.1509e15 * farOff],
        code: 'gain-zero',
        remedy:
          'strain cannot be read with a slope of zero, or so far from that of any fibre; silica has -0.1509 GHz/(um/m)',
      },
    }),
  ),
  thermal_slope: v.optional(
    quantity('frequency per kelvin', {
      ofKinds: ['spectral-shift'],
      meaning:
        'spectral-shift: shift of optical frequency per kelvin at constant fibre length. For a strain-free reference too: the expansion of its glass is added.',
      default: `${defaults.thermalSlope} (silica at 1550 nm)`,
      usual: ['-10 GHz/K', '0 GHz/K'],
      example: '-1.165 GHz/K',
    }),
  ),
  compensated: v.optional(
    flag({
      ofKinds: ['strain'],
      meaning:
        "strain: true where temperature has been taken out already, the plate's expansion and the fibre's response both. Where false, both are taken out here: the expansion by the plate's coefficient, the response by thermal_gain.",
      default: 'false',
      example: 'true',
    }),
  ),
};

export const channelSchema = v.pipe(
  v.object({
    kind: oneOf(channelKinds, {
      meaning:
        'What the column reads: a temperature, a bragg wavelength, a spectral-shift (swept-wavelength Rayleigh), or a strain.',
      example: 'bragg',
    }),
    cell: v.optional(
      text({
        meaning: 'The cell it belongs to.',
        default: 'the whole plate (temperature only)',
        example: 'B2',
        refersTo: 'cell',
      }),
    ),
    plane: v.optional(
      text({ meaning: 'The sensing plane it lies on.', default: 'the only plane', example: 'up', refersTo: 'plane' }),
    ),
    direction: v.optional(
      quantity('angle', {
        ofKinds: ['bragg', 'spectral-shift', 'strain'],
        meaning: 'Direction of the fibre, counterclockwise from +x, seen from above.',
        default: 'required for strain-bearing channels',
        example: '45 deg',
      }),
    ),
    ...gains,
    strain_free: v.optional(
      flag({
        ofKinds: ['bragg', 'spectral-shift'],
        meaning: 'true for a loose reference fibre that feels temperature only.',
        default: 'false',
        example: 'true',
      }),
    ),
  }),
  v.metadata({
    meaning: 'What one column of readings is.',
    example: '{cell: B2, plane: up, kind: bragg, direction: 45 deg}',
  }),
);

export const defaultsOf = (kind: string) =>
  v.optional(
    v.pipe(v.object(gains), v.metadata({ meaning: `Values for every ${kind} channel that does not give its own.` })),
  );
