// The one schema of a log's header: the ECSV head, the `strain_log` block under `meta`, and a companion's `table`.
// It is the source of the raw types, the checks, completion and hover; field.ts says what a field carries.
// Limits are in SI units. How the raw form becomes a LogHeader stands in resolveHeader.ts.
import * as v from 'valibot';
import { eventKinds } from '../change/events.ts';
import { flag, number, oneOf, quantity, text, whole } from './field.ts';
import { materials } from './materials.ts';

export const channelKinds = ['temperature', 'bragg', 'spectral-shift', 'strain'] as const;
export const formatVersion = 1;

/** Types of values that ECSV knows. */
export const ecsvTypes = [
  ...['bool', 'int8', 'int16', 'int32', 'int64', 'uint8', 'uint16', 'uint32', 'uint64'],
  ...['float16', 'float32', 'float64', 'float128', 'complex64', 'complex128', 'complex256', 'string'],
];

const allEventKinds = Object.values(eventKinds).flat();

const buildSchema = v.pipe(
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

const plateSchema = v.pipe(
  v.object({
    size: v.optional(
      v.pipe(
        v.tuple([plateSize('x'), plateSize('y')]),
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
        default: '25 mm, and a message says so',
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

const planeSchema = v.pipe(
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
    v.tuple([
      quantity('length', { meaning: 'x, to the right from the front left corner.', example: '75 mm' }),
      quantity('length', { meaning: 'y, to the back of the machine from the front left corner.', example: '75 mm' }),
    ]),
    v.metadata({ meaning, example: '[75 mm, 75 mm]' }),
  );

const cellSchema = v.pipe(
  v.object({ at: point('Where the cell lies on the plate, x and y.') }),
  v.metadata({ meaning: 'A cell: one place on the plate where strain is read.', example: '{at: [75 mm, 75 mm]}' }),
);

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
      default: '0.78 (silica, pe = 0.22; Kersey et al. 1997)',
      usual: ['0.5', '1'],
      example: '0.78',
      limits: {
        notZero: true,
        code: 'gain-zero',
        remedy: 'strain cannot be read with a gain of zero; silica has 0.78',
      },
    }),
  ),
  thermal_gain: v.optional(
    quantity('per kelvin', {
      ofKinds: ['bragg'],
      meaning:
        'bragg: relative shift of wavelength per kelvin at constant fibre length (thermo-optic plus photo-elastic times the expansion of the glass). For a strain-free reference: of the loose fibre, its own expansion included.',
      default: '6.5e-6 1/K; 6.93e-6 1/K for a strain-free reference',
      usual: ['0 1/K', '60e-6 1/K'],
      example: '6.5e-6 1/K',
    }),
  ),
  strain_slope: v.optional(
    quantity('frequency per strain', {
      ofKinds: ['spectral-shift'],
      meaning:
        'spectral-shift: shift of optical frequency per strain of the fibre; negative, for frequency falls as strain rises.',
      default: '-0.1509 GHz/(um/m) (silica at 1550 nm, strain coefficient 0.78)',
      usual: ['-0.3 GHz/(um/m)', '-0.05 GHz/(um/m)'],
      example: '-0.1509 GHz/(um/m)',
      limits: {
        notZero: true,
        code: 'gain-zero',
        remedy: 'strain cannot be read with a slope of zero; silica has -0.1509 GHz/(um/m)',
      },
    }),
  ),
  thermal_slope: v.optional(
    quantity('frequency per kelvin', {
      ofKinds: ['spectral-shift'],
      meaning:
        'spectral-shift: shift of optical frequency per kelvin at constant fibre length. For a strain-free reference: of the loose fibre.',
      default: '-1.165 GHz/K; -1.248 GHz/K for a strain-free reference (silica at 1550 nm)',
      usual: ['-10 GHz/K', '0 GHz/K'],
      example: '-1.165 GHz/K',
    }),
  ),
  compensated: v.optional(
    flag({
      ofKinds: ['strain'],
      meaning: 'strain: true where temperature has been taken out already.',
      default: 'false',
      example: 'true',
    }),
  ),
};

const channelSchema = v.pipe(
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

const defaultsOf = (kind: string) =>
  v.optional(
    v.pipe(v.object(gains), v.metadata({ meaning: `Values for every ${kind} channel that does not give its own.` })),
  );

const partSchema = v.pipe(
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

const timeInLog = (meaning: string) => quantity('time', { meaning, example: '60 s' });

/** The `strain_log` block: what stands under `meta` in a log, and at the top of a companion header. */
export const strainLogSchema = v.pipe(
  v.object({
    strain_log: whole({ meaning: 'Version of this header.', example: '1' }),
    build: v.optional(buildSchema),
    plate: v.optional(plateSchema),
    planes: v.optional(
      v.pipe(
        v.record(v.string(), planeSchema),
        v.metadata({
          meaning: 'The sensing planes by name.',
          default: 'one plane without a name',
          example: '{up: {height: 9 mm}, low: {height: -9 mm}}',
        }),
      ),
    ),
    cells: v.pipe(
      v.record(v.string(), cellSchema),
      v.metadata({
        meaning: 'The cells by name. They lie anywhere; no grid is assumed.',
        example: '{B2: {at: [75 mm, 75 mm]}}',
      }),
    ),
    channels: v.pipe(
      v.record(v.string(), channelSchema),
      v.metadata({
        meaning: 'The measured columns, by the name of the column.',
        example: '{B2_T: {cell: B2, kind: temperature}}',
        refersTo: 'column',
      }),
    ),
    channel_defaults: v.optional(
      v.pipe(
        v.object({
          bragg: defaultsOf('bragg'),
          'spectral-shift': defaultsOf('spectral-shift'),
          strain: defaultsOf('strain'),
        }),
        v.metadata({
          meaning: 'Values by kind that hold for channels that do not give their own.',
          default: 'none',
          example: '{bragg: {strain_gain: 0.78}}',
        }),
      ),
    ),
    datum: v.optional(
      v.pipe(
        v.object({
          from: timeInLog('Start of the window, in seconds of the log.'),
          to: timeInLog('End of the window.'),
        }),
        v.metadata({
          meaning: 'The window whose mean strain is called zero.',
          default: 'the first two minutes',
          example: '{from: 60 s, to: 180 s}',
        }),
      ),
    ),
    parts: v.optional(
      v.pipe(
        v.record(v.string(), partSchema),
        v.metadata({ meaning: 'The parts on the plate by name.', default: 'none' }),
      ),
    ),
    recoater: v.optional(
      v.pipe(
        v.object({
          direction: quantity('angle', {
            meaning: 'Direction in which the recoater travels, counterclockwise from +x.',
            example: '90 deg',
          }),
        }),
        v.metadata({ meaning: 'The recoater.', default: 'direction unknown', example: '{direction: 90 deg}' }),
      ),
    ),
    detection: v.optional(
      v.pipe(
        v.object({
          false_alarm_budget: v.optional(
            quantity('time', {
              unit: 'h',
              meaning: 'Mean time between false mechanical alarms that you will bear, for the whole plate.',
              default: '200 h',
              usual: ['1 h', '100000 h'],
              example: '200 h',
              limits: { above: 0, remedy: 'give hours between false alarms, for example 200 h' },
            }),
          ),
          smallest_jump: v.optional(
            quantity('strain', {
              meaning: 'Smallest change of strain worth reporting.',
              default: '0.5 um/m',
              usual: ['0.1 um/m', '1000 um/m'],
              example: '5 um/m',
              limits: { above: 0, remedy: 'give the smallest change worth reporting, for example 5 um/m' },
            }),
          ),
          mute: v.optional(
            v.pipe(
              v.array(oneOf(allEventKinds, { meaning: 'A kind of event that is not reported.', example: 'strike' })),
              v.metadata({ meaning: 'Kinds of event that are not reported.', default: '[]', example: '[strike]' }),
            ),
          ),
        }),
        v.metadata({
          meaning: 'How change detection weighs false alarms against missed changes.',
          default: '200 h, 5 um/m, nothing muted',
        }),
      ),
    ),
    derived: v.optional(
      v.pipe(
        v.record(v.string(), text({ meaning: 'A formula over channel names.', example: '(B2_up_0 - B2_low_0) / 2' })),
        v.metadata({
          meaning: 'Extra series to plot, each a formula over channel names.',
          default: 'none',
          example: '{bend: (B2_up_0 - B2_low_0) / 2}',
        }),
      ),
    ),
    columns: v.optional(
      v.pipe(
        v.object({
          time: v.optional(
            text({ meaning: 'Column of the time of each row.', default: 'time', example: 'time', refersTo: 'column' }),
          ),
          layer: v.optional(
            text({ meaning: 'Column of the layer number.', default: 'layer', example: 'layer', refersTo: 'column' }),
          ),
          phase: v.optional(
            text({
              meaning: 'Column of the phase: recoat, expose or dwell.',
              default: 'phase',
              example: 'phase',
              refersTo: 'column',
            }),
          ),
        }),
        v.metadata({
          meaning: 'Columns that bear other names than time, layer and phase.',
          default: 'time, layer, phase',
        }),
      ),
    ),
  }),
  v.metadata({ meaning: 'Description of the plate, its cells and channels.' }),
);

const columnSchema = v.pipe(
  v.object({
    name: text({ meaning: 'Name of the column, as in the row of names.', example: 'B2_up_0' }),
    unit: v.optional(
      text({
        meaning: 'Unit of the readings, in ECSV spelling.',
        suggestions: ['s', 'deg_C', 'K', 'nm', 'GHz', 'um/m'],
        default: 'none',
        example: 'nm',
      }),
    ),
    datatype: v.optional(
      text({ meaning: 'Type of the values.', suggestions: ecsvTypes, default: 'float64', example: 'float64' }),
    ),
    type: v.optional(text({ meaning: 'Type of the values, as the 2014 draft of ECSV spells it.', default: 'float64' })),
    format: v.optional(text({ meaning: 'How the values are printed; not used.', default: 'none' })),
    description: v.optional(text({ meaning: 'What the column holds; not used.', default: 'none' })),
    subtype: v.optional(text({ meaning: 'Finer type of the values; not used.', default: 'none' })),
    meta: v.optional(
      v.pipe(v.unknown(), v.metadata({ meaning: 'Anything else about the column; not used.', default: 'none' })),
    ),
  }),
  v.metadata({ meaning: 'A column of the table.', example: '{name: B2_up_0, unit: nm, datatype: float64}' }),
);

/** The head of an ECSV file. */
export const ecsvSchema = v.pipe(
  v.object({
    delimiter: v.optional(
      text({
        meaning: "What separates the fields. A strain log has ','; ECSV takes a space where nothing is said.",
        default: "' '",
        example: "','",
      }),
    ),
    datatype: v.optional(v.pipe(v.array(columnSchema), v.metadata({ meaning: 'The columns of the table, in order.' }))),
    columns: v.optional(
      v.pipe(
        v.array(columnSchema),
        v.metadata({ meaning: 'The columns, as the 2014 draft of ECSV names them.', default: 'none' }),
      ),
    ),
    meta: strainLogSchema,
    schema: v.optional(
      text({ meaning: 'Name of the schema that wrote the file; not used.', default: 'none', example: 'astropy-2.0' }),
    ),
  }),
  v.metadata({ meaning: 'Head of an ECSV file.' }),
);

/** A companion header: the `strain_log` block and how the foreign table is written. */
export const companionSchema = v.pipe(
  v.object({
    ...strainLogSchema.pipe[0].entries,
    table: v.optional(
      v.pipe(
        v.object({
          delimiter: v.optional(text({ meaning: 'What separates the fields.', default: "','", example: "';'" })),
          decimal: v.optional(oneOf(['.', ','], { meaning: 'Decimal sign.', default: "'.'", example: "','" })),
          skip_lines: v.optional(
            whole({
              meaning: 'Lines before the row of names.',
              default: '0',
              example: '12',
              limits: { from: 0, remedy: 'give the number of lines before the row of names' },
            }),
          ),
          comment: v.optional(text({ meaning: 'Lines that start so are no rows.', default: "'#'", example: "'%'" })),
          time_format: v.optional(
            text({
              meaning: 'Layout of a textual time, with YYYY MM DD HH mm ss SSS.',
              default: 'seconds or ISO 8601',
              example: "'DD.MM.YYYY HH:mm:ss'",
            }),
          ),
          columns: v.optional(
            v.pipe(
              v.array(columnSchema),
              v.metadata({ meaning: 'Units and types of columns, by name.', default: 'no unit, float64' }),
            ),
          ),
        }),
        v.metadata({
          meaning: 'How the table is written.',
          default: 'commas, decimal point, no lines before the names',
        }),
      ),
    ),
  }),
  v.metadata({ meaning: 'Companion header of a foreign table.' }),
);

export type RawStrainLog = v.InferOutput<typeof strainLogSchema>;
export type RawChannel = v.InferOutput<typeof channelSchema>;
export type RawColumn = v.InferOutput<typeof columnSchema>;
export type RawTable = NonNullable<v.InferOutput<typeof companionSchema>['table']>;
export type RawGains = v.InferOutput<ReturnType<typeof defaultsOf>>;
