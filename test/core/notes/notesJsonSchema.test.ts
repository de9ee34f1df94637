import assert from 'node:assert/strict';
import { Ajv } from 'ajv';
import { parse } from 'yaml';
import { formatNotes } from '../../../src/core/notes/formatNotes.ts';
import { notesJsonSchema } from '../../../src/core/notes/notesJsonSchema.ts';
import { parseNotes } from '../../../src/core/notes/parseNotes.ts';
import { noted } from './notesBuilder.ts';

describe('the JSON Schema of the notes file', () => {
  const validate = new Ajv({ strict: false, allErrors: true }).compile(notesJsonSchema());

  it('takes what is written', () => {
    assert.ok(validate(parse(formatNotes(noted([1, 2, 3])))), JSON.stringify(validate.errors));
  });

  const head = 'notes: 1\nthreads:\n';
  for (const text of [
    'notes: 2\n',
    'threads: []\n',
    `${head}  - id: a\n    time: soon\n`,
    `${head}  - id: a\n    time: 1\n    verdict: maybe\n`,
    `${head}  - time: 1\n`,
    `${head}  - id: a\n    time: 1\n    remarks: [{date: yesterday, text: x}]\n`,
    `${head}  - id: a\n    time: 1\n    cell: 12\n`,
  ]) {
    it(`refuses what reading refuses: ${JSON.stringify(text.slice(-40))}`, () => {
      assert.equal(parseNotes(text).writable, false);
      assert.equal(validate(parse(text)), false);
    });
  }

  it('tells what each key means', () => {
    const text = JSON.stringify(notesJsonSchema());
    assert.ok((text.match(/"description"/g) ?? []).length >= 14);
  });
});
