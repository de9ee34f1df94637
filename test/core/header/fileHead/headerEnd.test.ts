// Finding the end of the header in the first bytes of a file, whatever the chunking, line ends and byte order mark.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { finalHeader, headerLimit, splitForeign, splitHeader } from '../../../../src/core/header/fileHead/headerEnd.ts';
import { parseHeader } from '../../../../src/core/header/parseHeader.ts';
import { sampleHeader } from '../sampleHeader.ts';

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const rows = '0.0,0,34.98,1550.1201,1552.0042,1553.8711\n1.0,0,34.98,1550.1201,1552.0042,1553.8711\n';

describe('the end of a header', () => {
  it('is after the row of names, however much of the file is at hand', () => {
    const file = bytesOf(sampleHeader + rows);
    const length = bytesOf(sampleHeader).length;
    fc.assert(
      fc.property(fc.nat(file.length), (given) => {
        const split = splitHeader(file.subarray(0, given));
        if (given < length) assert.equal(split, 'need-more');
        else assert.deepEqual(split, { text: sampleHeader, bytes: length, problems: [] });
      }),
    );
  });

  it('counts bytes, not characters, and a byte order mark and CRLF among them', () => {
    const text = `\uFEFF${sampleHeader.replaceAll('\n', '\r\n').replace('tray 7', 'Träger 7 – Ω')}`;
    const split = splitHeader(bytesOf(text + rows));
    assert.notEqual(split, 'need-more');
    if (split === 'need-more') return;
    assert.equal(split.bytes, bytesOf(text).length);
    assert.equal(parseHeader(split.text).header?.build.name, 'Träger 7 – Ω');
    assert.deepEqual(parseHeader(split.text).problems, []);
  });

  it('takes a table without a header to its row of names', () => {
    const split = splitHeader(bytesOf('a,b\n1,2\n'));
    assert.deepEqual(split, { text: 'a,b\n', bytes: 4, problems: [] });
  });

  it('waits for the row of names, and takes what there is when the file has ended', () => {
    const bytes = bytesOf(sampleHeader.trimEnd());
    assert.equal(splitHeader(bytes), 'need-more');
    const split = finalHeader(bytes);
    assert.equal(split.bytes, bytes.length);
    assert.deepEqual(parseHeader(split.text).problems, []);
    assert.equal(splitHeader(new Uint8Array(0)), 'need-more');
    assert.equal(parseHeader(finalHeader(new Uint8Array(0)).text).problems[0]?.code, 'file-empty');
  });

  it('does not read on through a binary file or one of zeros', () => {
    for (const bytes of [new Uint8Array(5000), bytesOf('# %ECSV 1.0\n\0\0\0')]) {
      const split = splitHeader(bytes);
      assert.notEqual(split, 'need-more');
      if (split !== 'need-more') assert.equal(parseHeader(split.text).problems[0]?.code, 'not-text');
    }
  });

  it('gives up after 4 MiB without a row of names', () => {
    const line = bytesOf('# a comment that goes on and on\n');
    const bytes = new Uint8Array(headerLimit + 10);
    for (let at = 0; at < bytes.length; at++) bytes[at] = line[at % line.length]!;
    const split = splitHeader(bytes);
    assert.ok(split !== 'need-more' && split.problems[0]?.code === 'header-too-long');
    const foreign = splitForeign(bytes.fill(65), { skipLines: 0, comment: '#' });
    assert.ok(foreign !== 'need-more' && foreign.problems[0]?.code === 'header-too-long');
  });

  it('marks the first character that is not UTF-8', () => {
    const bytes = bytesOf(sampleHeader.replace('tray 7', 'tray @'));
    bytes[bytes.indexOf(64)] = 0xe4;
    const split = splitHeader(bytes);
    assert.ok(split !== 'need-more');
    assert.equal(split.problems[0]?.code, 'not-utf8');
    assert.deepEqual(split.problems[0].range, { line: 13, column: 24, endLine: 13, endColumn: 25 });
  });

  it('of a foreign table is the line after those skipped', () => {
    const bytes = bytesOf('\uFEFFpreamble\n\nt;a\r\n0;1\n');
    const form = { skipLines: 2, comment: '#' };
    assert.equal(splitForeign(bytes, form), 'need-more');
    assert.deepEqual(splitForeign(bytes, form, true), {
      text: 't;a\r\n',
      bytes: 18,
      problems: [],
      namesLine: 3,
      rows: [{ text: '0;1', line: 4, end: 22 }],
    });
    const cut = splitForeign(bytes.subarray(0, 21), form, true);
    assert.ok(cut !== 'need-more' && cut.rows.length === 0, 'half a row shows nothing');
    assert.equal(splitForeign(bytes.subarray(0, 15), form), 'need-more');
  });

  it('of a foreign table may begin with the sign of a comment', () => {
    const form = { skipLines: 1, comment: '#' };
    const taken = (text: string) => {
      const found = splitForeign(bytesOf(text), form, true, (line) => /(^|,)a(,|\r?$)/.test(line));
      assert.ok(found !== 'need-more');
      return [found.text, found.bytes, found.namesLine, found.rows.map(({ line }) => line)];
    };
    assert.deepEqual(taken('# any\n#t,a\r\n0,1\n1,2\n'), ['#t,a\r\n', 12, 2, [3, 4]]);
    assert.deepEqual(taken('# any\n#t,a'), ['#t,a', 10, 2, []]);
    assert.deepEqual(taken('# any\n#t,a\nt,a\n0,1\n'), ['t,a\n', 15, 3, [4]]);
    assert.deepEqual(taken('# any\n# no\n#t,a\nt,b\n0,1\n'), ['t,b\n', 20, 4, [5]]);
  });

  it('of a foreign table passes over comments and blank lines before the names and between the rows', () => {
    const split = splitForeign(bytesOf('one\n% two\n\nt;a\n%\n \n0;1\n'), { skipLines: 1, comment: '%' }, true);
    assert.ok(split !== 'need-more');
    assert.deepEqual([split.text, split.namesLine], ['t;a\n', 4]);
    assert.deepEqual(
      split.rows.map(({ text, line }) => [text, line]),
      [['0;1', 7]],
    );
  });
});
