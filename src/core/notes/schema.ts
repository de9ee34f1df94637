// How a notes file is written: the one source for checking it, and for the JSON Schema that editors validate it with.
import * as v from 'valibot';
import { verdicts } from './notes.ts';

const line = v.pipe(v.string(), v.regex(/^[^\r\n]*$/, 'must be one line of text'));

const date = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?Z$/, 'must be a date and time in UTC, as 2026-03-02T20:11:04Z'),
);
const verdict = v.picklist(verdicts, `must be one of ${verdicts.join(', ')}`);

const remarkSchema = v.pipe(
  v.looseObject({
    date: v.pipe(date, v.description('When the remark was made, ISO 8601 in UTC.')),
    by: v.optional(v.pipe(line, v.description('Who made it.'))),
    text: v.pipe(v.string(), v.description('The remark, in Markdown.')),
  }),
  v.description('One remark.'),
);

const judgedSchema = v.pipe(
  v.looseObject({
    date: v.pipe(date, v.description('When it was given, ISO 8601 in UTC.')),
    by: v.optional(v.pipe(line, v.description('Who gave it.'))),
    verdict,
  }),
  v.description('A verdict as one person gave it.'),
);

const threadSchema = v.pipe(
  v.looseObject({
    time: v.optional(
      v.pipe(
        v.number('must be a number of seconds'),
        v.finite(),
        v.description('Time of the row in the log, seconds.'),
      ),
    ),
    header_line: v.optional(
      v.pipe(v.number(), v.integer(), v.minValue(1), v.description('For a thread on the header: its line, from 1.')),
    ),
    row: v.optional(
      v.pipe(line, v.description('Hash of the row, by which it is found again after the log was edited.')),
    ),
    id: v.pipe(line, v.nonEmpty('must not be empty'), v.description('Name of the thread, unique in the file.')),
    cell: v.optional(v.pipe(line, v.description('Cell the thread is about.'))),
    event: v.optional(v.pipe(line, v.description('Id of the event the thread is about.'))),
    verdict: v.optional(
      v.pipe(verdict, v.description('What a person makes of the event. A false-alarm does not fail a check.')),
    ),
    judged: v.optional(v.pipe(v.array(judgedSchema), v.description('Who judged, each by the latest verdict.'))),
    cause: v.optional(v.pipe(v.string(), v.description('What caused it, in free words.'))),
    resolved: v.optional(v.pipe(v.boolean('must be true or false'), v.description('True once settled.'))),
    remarks: v.optional(v.array(remarkSchema)),
  }),
  v.check(
    (thread) => (thread.time === undefined) !== (thread.header_line === undefined),
    'needs either time (a row) or header_line (a line of the header)',
  ),
  v.description('A thread of remarks on one row, event or header line.'),
);

export const notesSchema = v.pipe(
  v.looseObject({
    notes: v.pipe(v.literal(1, 'must be 1, the version of this format'), v.description('Version of this format.')),
    log: v.optional(v.pipe(line, v.description('File name of the log.'))),
    fingerprint: v.optional(
      v.pipe(line, v.description('Hash of the first rows, by which the log is found after a renaming.')),
    ),
    threads: v.pipe(v.nullish(v.array(threadSchema)), v.description('In order of time, then id.')),
  }),
  v.title('Notes on a plate strain log'),
);

export type WrittenNotes = v.InferOutput<typeof notesSchema>;
export type WrittenThread = v.InferOutput<typeof threadSchema>;
export type WrittenJudged = v.InferOutput<typeof judgedSchema>;
export type WrittenRemark = v.InferOutput<typeof remarkSchema>;

export const notesKeys = Object.keys(notesSchema.pipe[0].entries);
export const threadKeys = Object.keys(threadSchema.pipe[0].entries);
export const judgedKeys = Object.keys(judgedSchema.pipe[0].entries);
export const remarkKeys = Object.keys(remarkSchema.pipe[0].entries);
