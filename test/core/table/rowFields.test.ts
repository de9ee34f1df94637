import assert from 'node:assert/strict';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { columnAfter, fieldsOf } from '../../../src/core/table/rowFields.ts';

describe('columnAfter', () => {
  it('counts the delimiters that are in no quotes', () => {
    assert.equal(columnAfter('', ','), 0);
    assert.equal(columnAfter('1,2', ','), 1);
    assert.equal(columnAfter('1,"a,b', ','), 1);
    assert.equal(columnAfter('1,"a,b",', ','), 2);
  });
});

describe('fieldsOf', () => {
  it('reads as another reader of tables does', () => {
    const field = fc.constantFrom('', '1', 'a,b', 'say "so"', ',', '""');
    fc.assert(
      fc.property(fc.array(field, { minLength: 1, maxLength: 6 }), (fields) => {
        const row = fields.map((text) => (/[",]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text)).join(',');
        const [read = ['']] = parse(`${row}\n`, { skip_empty_lines: false }) as string[][];
        assert.deepEqual(fieldsOf(row, ','), read);
        assert.equal(columnAfter(row, ','), read.length - 1);
      }),
    );
  });

  it('takes a quote within a field for a sign like others, as the scanner of logs does', () => {
    assert.deepEqual(fieldsOf('5" bar,7', ','), ['5" bar', '7']);
  });
});
