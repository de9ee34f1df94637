import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { unjudged } from '../../../../src/core/display/text/unjudged.ts';
import { Session } from '../../../../src/core/session.ts';

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
  return {
    session,
    said: unjudged({
      rows: session.rows,
      layers: session.index?.layerCount ?? 0,
      header: session.basis?.header,
      events: session.events,
    }),
  };
}

const untold = { layers: 0, header: undefined, events: [] };

/** The log with these fields (from 0) of its rows from `from` on put to `nan`. */
function silenced(log: Uint8Array, isSilent: (field: number, row: number) => boolean): Uint8Array {
  const lines = new TextDecoder().decode(log).split('\n');
  const rows = lines.map((line, at) =>
    at < firstRow || line === ''
      ? line
      : line
          .split(',')
          .map((field, n) => (isSilent(n, at - firstRow) ? 'nan' : field))
          .join(','),
  );
  return new TextEncoder().encode(rows.join('\n'));
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

  it('is said of a log in which no channel of strain ever reads, be there temperatures or not', () => {
    const names = sample[firstRow - 1]!.split(',');
    const ofStrain = (field: number): boolean => /_up_/.test(names[field]!);
    const ofReadings = (field: number): boolean => ofStrain(field) || /_T$/.test(names[field]!);
    assert.equal(names.filter((_, field) => ofStrain(field)).length, 27);
    for (const silent of [ofStrain, ofReadings]) {
      assert.match(read(silenced(cutLog(600, 1), silent)).said, /no channel of strain ever reads/);
    }
    const one = names.findIndex((_, field) => ofStrain(field));
    assert.equal(read(silenced(cutLog(600, 1), (field) => ofStrain(field) && field !== one)).said, '');
    assert.equal(read(silenced(cutLog(600, 1), (field, row) => ofStrain(field) && row < 500)).said, '');
    assert.equal(read(silenced(cutLog(600, 1), (field, row) => ofStrain(field) && row > 0)).said, '');
  });

  it('goes by rows where the log has no layers', () => {
    assert.match(unjudged({ rows: 3, ...untold }), /3 rows/);
    assert.match(unjudged({ rows: 1, ...untold }), /1 row,/);
    assert.equal(unjudged({ rows: 400, ...untold }), '');
  });
});
