// The part of the header's schema that describes the build, the plate, and what lies on it: planes, cells, parts.
import * as v from 'valibot';
import { defaults } from './defaults.ts';
import { number, quantity, text, whole } from './field.ts';
import { materials } from './materials.ts';

export const buildSchema = v.pipe(
  v.object({
    name: v.optional(text({ meaning: 'Name of the build.', default: 'empty', example: 'tray 7' })),
    started: v.optional(
      text({ meaning: 'When the build started, ISO 8601.', default: 'unknown', example: "'2026-03-02T18:04:00Z'" }),
    ),
    layer_height: v.optional(
      quantity('length', {
        unit: 'um',
        meaning: 'Height of one layer.',
        default: 'unknown',
        usual: ['5 um', '2 mm'],
        example: '40 um',
        limits: { above: 0, remedy: 'give the height of one layer, for example 40 um' },
      }),
    ),
    planned_layers: v.optional(
      whole({
        meaning: 'How many layers the build will have.',
        default: 'unknown',
        example: '1450',
        limits: { above: 0, remedy: 'give the number of layers, or leave the key out' },
      }),
    ),
  }),
  v.metadata({ meaning: 'The build that was logged.', default: 'unnamed' }),
);

const plateSize = (axis: string) =>
  quantity('length', {
    meaning: `Extent of the plate in ${axis}.`,
    usual: ['10 mm', '3 m'],
    example: '250 mm',
    limits: { above: 0, remedy: 'give the extent of the plate, for example 250 mm' },
  });

export const plateSchema = v.pipe(
  v.object({
    size: v.optional(
      v.pipe(
        v.strictTuple([plateSize('x'), plateSize('y')]),
        v.metadata({
          meaning: 'Extent of the plate in x and y, from its front left corner.',
          default: 'a tenth beyond the farthest cell or part',
          example: '[250 mm, 250 mm]',
        }),
      ),
    ),
    thickness: v.optional(
      quantity('length', {
        meaning: 'Thickness of the plate; forces and moments grow with it and with its cube.',
        default: `${defaults.thickness}, and a message says so`,
        usual: ['1 mm', '300 mm'],
        example: '30 mm',
        limits: { above: 0, code: 'thickness-not-positive', remedy: 'measure the plate and give its thickness in mm' },
      }),
    ),
    material: v.optional(
      text({
        meaning: `Material of the plate. Constants left out are taken from a table: ${materials.map((row) => row.name).join(', ')}.`,
        default: `${materials[0]!.name}, and a message says so`,
        example: materials[0]!.name,
        suggestions: materials.map((row) => row.name),
      }),
    ),
    youngs_modulus: v.optional(
      quantity('stress', {
        unit: 'GPa',
        meaning: "Young's modulus of the plate, for stresses and moments.",
        default: 'from the material',
        usual: ['10 GPa', '500 GPa'],
        example: '68.9 GPa',
        limits: { above: 0, remedy: 'a modulus is above zero, for example 68.9 GPa' },
      }),
    ),
    poissons_ratio: v.optional(
      number({
        meaning: "Poisson's ratio of the plate.",
        default: 'from the material',
        usual: ['0.15', '0.45'],
        example: '0.33',
        limits: {
          above: -1,
          below: 0.5,
          code: 'poissons-ratio-out-of-range',
          remedy: 'an isotropic solid has a ratio between -1 and 0.5; metals lie near 0.3',
        },
      }),
    ),
    thermal_expansion: v.optional(
      quantity('per kelvin', {
        meaning: 'Coefficient of thermal expansion of the plate, taken out of every strain reading.',
        default: 'from the material',
        usual: ['1e-6 1/K', '40e-6 1/K'],
        example: '23.6e-6 1/K',
        limits: { above: -1e-4, below: 1e-3, remedy: 'metals lie between 8e-6 and 30e-6 1/K' },
      }),
    ),
    yield_stress: v.optional(
      quantity('stress', {
        meaning: 'Yield stress of the plate, for the margin to yield.',
        default: 'from the material',
        usual: ['10 MPa', '3 GPa'],
        example: '276 MPa',
        limits: { above: 0, remedy: 'give the yield stress of the plate, for example 276 MPa' },
      }),
    ),
  }),
  v.metadata({ meaning: 'The build plate.', default: 'size, thickness and material as said at each key' }),
);

export const planeSchema = v.pipe(
  v.object({
    height: v.optional(
      quantity('length', {
        meaning: "Height of the sensing plane from the plate's mid-plane, positive up.",
        default: 'unknown (allowed with one plane only)',
        example: '9 mm',
      }),
    ),
  }),
  v.metadata({ meaning: 'A sensing plane: fibres at one height in the plate.', example: '{height: 9 mm}' }),
);

const point = (meaning: string) =>
  v.pipe(
    v.strictTuple([
      quantity('length', { meaning: 'x, to the right from the front left corner.', example: '75 mm' }),
      quantity('length', { meaning: 'y, to the back of the machine from the front left corner.', example: '75 mm' }),
    ]),
    v.metadata({ meaning, example: '[75 mm, 75 mm]' }),
  );

export const cellSchema = v.pipe(
  v.object({ at: point('Where the cell lies on the plate, x and y.') }),
  v.metadata({ meaning: 'A cell: one place on the plate where strain is read.', example: '{at: [75 mm, 75 mm]}' }),
);

export const partSchema = v.pipe(
  v.object({
    outline: v.pipe(
      v.array(point('A corner, x and y.')),
      v.minLength(3),
      v.metadata({
        meaning: "Corners of the part's footprint on the plate, in order; closed by itself.",
        example: '[[40 mm, 40 mm], [110 mm, 40 mm], [110 mm, 110 mm]]',
      }),
    ),
  }),
  v.metadata({
    meaning: 'A part that is built on the plate.',
    example: '{outline: [[40 mm, 40 mm], [110 mm, 40 mm], [110 mm, 110 mm]]}',
  }),
);
