// The JSON Schema of the notes file, made from the one schema that reading checks with; editors validate YAML by it.
import { toJsonSchema } from '@valibot/to-json-schema';
import { notesSchema } from './schema.ts';

/** JSON Schema draft 7. What it cannot say (a thread needs a time or a header line) is said by reading alone. */
export function notesJsonSchema(): object {
  return toJsonSchema(notesSchema, { errorMode: 'ignore' });
}
