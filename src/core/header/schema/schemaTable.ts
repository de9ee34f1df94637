// The part of the header's schema that describes the table itself: its columns and how a foreign table is written.
import * as v from 'valibot';
import { oneOf, text, whole } from './field.ts';

/** Types of values that ECSV knows. */
export const ecsvTypes = [
  ...['bool', 'int8', 'int16', 'int32', 'int64', 'uint8', 'uint16', 'uint32', 'uint64'],
  ...['float16', 'float32', 'float64', 'float128', 'complex64', 'complex128', 'complex256', 'string'],
];

export const columnSchema = v.pipe(
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
      text({
        meaning: 'Type of the values; string for times in stamps.',
        suggestions: ecsvTypes,
        default: "float64; string for a foreign table's times where its first rows show ISO 8601",
        example: 'float64',
      }),
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

/** How a foreign table is written. */
export const tableSchema = v.pipe(
  v.object({
    delimiter: v.optional(text({ meaning: 'What separates the fields.', default: "','", example: "';'" })),
    decimal: v.optional(oneOf(['.', ','], { meaning: 'Decimal sign.', default: "'.'", example: "','" })),
    skip_lines: v.optional(
      whole({
        meaning: 'Lines before the row of names; comments and blank lines need not be counted.',
        default: '0',
        example: '12',
        limits: { from: 0, remedy: 'give the number of lines before the row of names' },
      }),
    ),
    comment: v.optional(
      text({ meaning: 'Lines that start so are neither rows nor the names.', default: "'#'", example: "'%'" }),
    ),
    time_format: v.optional(
      text({
        meaning:
          'Layout of times that are stamps: yyyy or yy year, MM or M month, MMM its short English name, dd or d day, HH or H hour, hh or h with a for AM and PM, mm minute, ss second, SSS fraction, X zone (without one: UTC); other letters between single quotes. YYYY and DD are taken as yyyy and dd.',
        default: 'seconds or ISO 8601',
        example: "'dd.MM.yyyy HH:mm:ss'",
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
);
