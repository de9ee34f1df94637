import assert from 'node:assert/strict';
import fc from 'fast-check';
import {
  anchorOfHeaderLine,
  anchorOfRow,
  headerLineHash,
  logFingerprint,
  resolveAnchor,
  rowHash,
} from '../../../src/core/notes/anchor.ts';
import type { AnchorRow, RowForm } from '../../../src/core/notes/anchor.ts';

const form: RowForm = { delimiter: ',', decimal: '.', timeField: 0 };

/** A log of distinct rows, one a second, its first row on line 31. */
function logRows(count: number): string[] {
  return Array.from(
    { length: count },
    (_, at) => `${at}.0,${at >> 3},${(34 + at / 97).toFixed(2)},${(1550 + Math.sin(at * at) / 50).toFixed(4)}`,
  );
}

function rowsOf(texts: readonly string[], firstLine = 31): AnchorRow[] {
  return texts.map((text, at) => ({
    line: firstLine + at,
    timeS: Number(text.split(',')[0]),
    hash: rowHash(text, form),
  }));
}

describe('the anchor of a thread on a row', () => {
  const texts = logRows(400);
  const anchor = anchorOfRow(200, texts[200]!, form);

  it('finds its row in the unchanged log', () => {
    assert.deepEqual(resolveAnchor(anchor, rowsOf(texts)), { state: 'found', line: 231, timeS: 200 });
  });

  it('follows its row when lines are inserted above', () => {
    const longer = [
      ...logRows(400).slice(0, 50),
      ...Array.from({ length: 7 }, (_, n) => `49.${n + 1},6,0,0`),
      ...texts.slice(50),
    ];
    assert.deepEqual(resolveAnchor(anchor, rowsOf(longer)), { state: 'found', line: 238, timeS: 200 });
  });

  it('follows its row when lines are deleted above', () => {
    assert.deepEqual(resolveAnchor(anchor, rowsOf(texts.slice(120))), { state: 'found', line: 111, timeS: 200 });
  });

  it('follows its row when the log was cut and its clock starts anew', () => {
    const cut = texts.slice(120).map((text) => text.replace(/^[^,]+/, (time) => String(Number(time) - 120)));
    assert.deepEqual(resolveAnchor(anchor, rowsOf(cut)), { state: 'moved', line: 111, timeS: 80 });
  });

  it('knows its row in another number format, quoting, delimiter and decimal sign', () => {
    const [time, layer, temperature, reading] = texts[200]!.split(',');
    const shorter = `${Number(time)},${layer},${Number(temperature)},${Number(reading).toExponential()}`;
    assert.equal(rowHash(shorter, form), anchor.hash);
    assert.equal(rowHash(`${time},"${layer}", ${temperature} ,+${reading}\r\n`, form), anchor.hash);
    const german = [time, layer, temperature!.replace('.', ','), reading!.replace('.', ',')].join(';');
    assert.equal(rowHash(german, { delimiter: ';', decimal: ',', timeField: 0 }), anchor.hash);
  });

  it('is found in time in a field of nothing but line breaks', function () {
    this.timeout(5000);
    const breaks = '\r'.repeat(1_000_000);
    assert.equal(rowHash(`1,"${breaks}x",3\r\n`, form), rowHash(`1,"${breaks}x",3`, form));
  });

  it('tells a missing reading from zero, and takes nan for missing', () => {
    assert.notEqual(rowHash('1,2,,4', form), rowHash('1,2,0,4', form));
    assert.equal(rowHash('1,2,nan,4', form), rowHash('1,2,,4', form));
    assert.notEqual(rowHash('1,2,34', form), rowHash('1,23,4', form));
  });

  it('says that its row reads otherwise instead of pointing elsewhere', () => {
    const other = texts.map((text, at) => (at === 200 ? text.replace(/1/g, '2') : text));
    assert.deepEqual(resolveAnchor(anchor, rowsOf(other)), { state: 'changed', line: 231, timeS: 200 });
  });

  it('says that it is lost when its row and all near it are gone', () => {
    const gap = [...texts.slice(0, 150), ...texts.slice(260)];
    assert.equal(resolveAnchor(anchor, rowsOf(gap)).state, 'lost');
    assert.deepEqual(resolveAnchor(anchor, []), { state: 'lost', line: 0, timeS: 200 });
  });

  it('is lost when only its own row is gone', () => {
    assert.equal(resolveAnchor(anchor, rowsOf(texts.filter((_, at) => at !== 200))).state, 'lost');
  });

  it('does not jump to a far row that reads the same by chance', () => {
    const stuck = texts.map((_, at) => `${at}.0,9,35.00,1550.0000`);
    const own = anchorOfRow(200, stuck[200]!, form);
    assert.deepEqual(resolveAnchor(own, rowsOf(stuck)), { state: 'found', line: 231, timeS: 200 });
    const changed = stuck.map((text, at) => (at === 200 ? `${at}.0,9,36.00,1551.0000` : text));
    assert.equal(resolveAnchor(own, rowsOf(changed)).state, 'changed');
  });

  it('takes the nearer of two rows of one time by what they read', () => {
    const twice = [...texts.slice(0, 200), '200.0,25,1,1', ...texts.slice(200)];
    assert.equal(resolveAnchor(anchor, rowsOf(twice)).line, 232);
  });

  it('finds its row and takes no other for it, however lines came and went', () => {
    const all = logRows(60);
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 60, maxLength: 60 }), (kept) => {
        const rows = rowsOf(all.filter((_, at) => kept[at]));
        all.forEach((text, at) => {
          const { state, timeS } = resolveAnchor(anchorOfRow(at, text, form), rows);
          if (kept[at]) assert.deepEqual([state, timeS], ['found', at]);
          else assert.ok(state === 'lost' || state === 'changed', state);
        });
      }),
      { numRuns: 50 },
    );
  });
});

describe('the anchor of a thread on a header line', () => {
  const lines = ['# %ECSV 1.0', '# ---', "# delimiter: ','", '# meta:', '#   plate: {thickness: 30 mm}'];
  const rows = lines.map((text, at): AnchorRow => ({ line: at + 1, timeS: NaN, hash: headerLineHash(text) }));
  const anchor = anchorOfHeaderLine(5, lines[4]!);

  it('finds, follows, or says that the line changed or went', () => {
    assert.deepEqual(resolveAnchor(anchor, rows), { state: 'found', line: 5, timeS: NaN });
    const moved = rows.slice(2).map((row) => ({ ...row, line: row.line - 2 }));
    assert.deepEqual(resolveAnchor(anchor, moved), { state: 'moved', line: 3, timeS: NaN });
    const changed = rows.map((row) => (row.line === 5 ? { ...row, hash: headerLineHash('#   plate: {}') } : row));
    assert.equal(resolveAnchor(anchor, changed).state, 'changed');
    assert.equal(resolveAnchor(anchor, rows.slice(0, 3)).state, 'lost');
  });
});

describe('the fingerprint of a log', () => {
  it('stays when the log grows, is reformatted or renamed, and differs between logs', () => {
    const rows = logRows(8);
    const print = logFingerprint(rows, form);
    assert.equal(
      logFingerprint(
        rows.map((row) => row.split(',').map(Number).join(', ')),
        form,
      ),
      print,
    );
    assert.notEqual(logFingerprint(logRows(9).slice(1), form), print);
  });
});
