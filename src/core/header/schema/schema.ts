// The one schema of a log's header: the ECSV head, the `strain_log` block under `meta`, and a companion's `table`.
// Its parts stand in schemaPlate, schemaChannels, schemaTable and schemaDetection.
// It is the source of the raw types, the checks, completion and hover; field.ts says what a field carries.
// Limits are in SI units. How the raw form becomes a LogHeader stands in resolveHeader.ts.
import * as v from 'valibot';
import { defaults } from './defaults.ts';
import { quantity, text, whole } from './field.ts';
import { channelSchema, defaultsOf } from './schemaChannels.ts';
import { detectionSchema } from './schemaDetection.ts';
import { buildSchema, cellSchema, partSchema, planeSchema, plateSchema } from './schemaPlate.ts';
import { columnSchema, tableSchema } from './schemaTable.ts';

export const formatVersion = 1;

const timeInLog = (meaning: string) => quantity('time', { meaning, example: '60 s' });

/** The `strain_log` block: what stands under `meta` in a log, and at the top of a companion header. */
const strainLogSchema = v.pipe(
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
          meaning: 'The window called zero: of each channel the mean over it without the highest and the lowest fifth.',
          default: defaults.datumWindow,
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
    detection: v.optional(detectionSchema),
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
    table: v.optional(tableSchema),
  }),
  v.metadata({ meaning: 'Companion header of a foreign table.' }),
);

export type RawStrainLog = v.InferOutput<typeof strainLogSchema>;
export type RawChannel = v.InferOutput<typeof channelSchema>;
export type RawColumn = v.InferOutput<typeof columnSchema>;
export type RawTable = v.InferOutput<typeof tableSchema>;
