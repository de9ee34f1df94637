import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { unjudged } from '../../../src/core/display/unjudged.ts';
import { Session } from '../../../src/core/session.ts';

const sample = readFileSync('sample-logs/release.strain.csv', 'utf8').split('\n');
const firstRow = sample.findIndex((line) => /^[\d.]+,/.test(line));

/** The first `rows` rows of the sample with all of A1's readings moved by `nm` in the last third. */
function cutLog(rows: number, nm: number): Uint8Array {
  const kept = sample.slice(firstRow, firstRow + rows).map((line, row) => {
    const fields = line.split(',');
    if (row < (2 * rows) / 3) return line;
    return fields
      .map((field, at) => (at >= 3 && at <= 5 ? (Number(field) + nm * (at - 2)).toFixed(4) : field))
      .join(',');
  });
  return new TextEncoder().encode([...sample.slice(0, firstRow), ...kept, ''].join('\n'));
}

/** The same with another number for its first layer. */
function renumbered(log: Uint8Array, first: number): Uint8Array {
  const at = sample[firstRow - 1]!.split(',').indexOf('layer');
  const moved = new TextDecoder()
    .decode(log)
    .split('\n')
    .map((line, row) => {
      const fields = line.split(',');
      if (row < firstRow || fields[at] === undefined || fields[at] === '') return line;
      return fields.with(at, String(Number(fields[at]) + first)).join(',');
    });
  return new TextEncoder().encode(moved.join('\n'));
}

function read(bytes: Uint8Array): { readonly session: Session; readonly said: string } {
  const session = new Session({ settings: {} });
  session.push(bytes);
  session.finish();
  return { session, said: unjudged({ rows: session.rows, layers: session.index?.layerCount ?? 0 }) };
}

describe('what could not be judged', () => {
  it('is said of every log in which even a change of a thousand noises would not have been told', () => {
    for (const rows of [0, 1, 20, 100, 250]) {
      const { session, said } = read(cutLog(rows, 1));
      assert.equal(session.rows, rows);
      assert.deepEqual(session.events, [], `${rows} rows`);
      assert.match(said, rows === 0 ? /no rows/ : /too short/i, `${rows} rows`);
    }
  });

  it('is not said of a log in which such a change is told', () => {
    const { session, said } = read(cutLog(600, 1));
    assert.ok(session.events.length > 0);
    assert.equal(said, '');
  });

  it('goes by the layers that were seen, not by their numbers', () => {
    const { session, said } = read(renumbered(cutLog(250, 1), 500));
    assert.ok((session.index?.layerAtRow(249)?.layer ?? 0) >= 500);
    assert.deepEqual(session.events, []);
    assert.equal(said, read(cutLog(250, 1)).said);
    assert.equal(read(renumbered(cutLog(600, 1), 500)).said, '');
  });

  it('goes by rows where the log has no layers', () => {
    assert.match(unjudged({ rows: 3, layers: 0 }), /3 rows/);
    assert.match(unjudged({ rows: 1, layers: 0 }), /1 row,/);
    assert.equal(unjudged({ rows: 400, layers: 0 }), '');
  });
});
