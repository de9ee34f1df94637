// The log format against the outside: what we call a strain log is read by astropy as ECSV with the right units, and by
// pandas as a table; and a log that astropy writes again is still a strain log to us.
// Sources: ECSV 1.0 (astropy proposal for enhancement 6); SI brochure (BIPM, 9th edition 2019) for prefixes and 273.15 K.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { LogHeader } from '../../src/core/header/logHeader.ts';
import { finalHeader, splitHeader } from '../../src/core/header/headerEnd.ts';
import { parseHeader } from '../../src/core/header/parseHeader.ts';

const log = `# %ECSV 1.0
# ---
# delimiter: ','
# datatype:
# - {name: time, unit: s, datatype: float64}
# - {name: layer, datatype: int32}
# - {name: phase, datatype: string}
# - {name: A1_T, unit: deg_C, datatype: float64}
# - {name: A1_0, unit: nm, datatype: float64}
# - {name: A1_60, unit: GHz, datatype: float64}
# - {name: A1_120, unit: um/m, datatype: float64}
# meta:
#   strain_log: 1
#   plate: {size: [200 mm, 200 mm], thickness: 25 mm, material: 316L}
#   cells: {A1: {at: [50 mm, 60 mm]}}
#   channels:
#     A1_T: {cell: A1, kind: temperature}
#     A1_0: {cell: A1, kind: bragg, direction: 0 deg, rest: 1550.120 nm}
#     A1_60: {cell: A1, kind: spectral-shift, direction: 60 deg}
#     A1_120: {cell: A1, kind: strain, direction: 120 deg, compensated: true}
# schema: astropy-2.0
time,layer,phase,A1_T,A1_0,A1_60,A1_120
0.0,0,recoat,34.98,1550.1201,-0.15,1.5
0.5,0,expose,35.02,,0.25,-2.5
1.0,1,dwell,35.5,nan,0.5,3.0
`;

/** Reads a log with both libraries; prints units as SI factors, values, and the log as astropy writes it. */
const script = `
import json, sys
import numpy as np, pandas as pd
from astropy.table import Table
from astropy.io import ascii
from astropy import units as u
table = Table.read(sys.argv[1], format='ascii.ecsv')
frame = pd.read_csv(sys.argv[1], comment='#')
def si(unit):
    if unit is None: return None
    if unit.is_equivalent(u.K, equivalencies=u.temperature()):
        at = lambda v: u.Quantity(v, unit).to_value(u.K, equivalencies=u.temperature())
        return [at(1.0) - at(0.0), at(0.0)]
    return [(1 * unit).si.value, 0.0]
def values(column):
    data = np.ma.filled(np.ma.asarray(column), np.nan) if column.dtype.kind == 'f' else np.asarray(column)
    return [None if isinstance(v, float) and v != v else v for v in data.tolist()]
table.write(sys.argv[2], format='ascii.ecsv', delimiter=',', overwrite=True)
print(json.dumps({
  'names': table.colnames,
  'units': {c: si(table[c].unit) for c in table.colnames},
  'cells': list(table.meta.get('cells', {})),
  'rows': len(table),
  'values': {c: values(table[c][:50]) for c in table.colnames},
  'pandas': {c: [None if v != v else v for v in frame[c][:50].tolist()] for c in frame.columns},
  'pandas_rows': len(frame),
}))
`;

interface Reading {
  readonly names: string[];
  readonly units: Record<string, [number, number] | null>;
  readonly cells: string[];
  readonly rows: number;
  readonly values: Record<string, (number | string | null)[]>;
  readonly pandas: Record<string, (number | string | null)[]>;
  readonly pandas_rows: number;
}

/** A header without the lines of its channels and the length of its head, which change when it is written again. */
function withoutLines(header: LogHeader): unknown {
  const columns = header.columns.map((column) => ({ ...column, unit: column.unit.replaceAll(' ', '') }));
  return {
    ...header,
    columns,
    channels: header.channels.map((channel) => ({ ...channel, line: 0 })),
    table: { ...header.table, skipLines: 0 },
  };
}

function findPython(): string | undefined {
  const candidates = [process.env.PYTHON, 'python3', '/usr/bin/python3'].filter((name) => name !== undefined);
  return candidates.find((name) => spawnSync(name, ['-c', 'import astropy, pandas']).status === 0);
}

describe('astropy and pandas', () => {
  let python: string;
  let folder: string;

  before(function () {
    this.timeout(60_000);
    const found = findPython();
    if (found === undefined) {
      console.log(
        '    skipped: no python3 with astropy and pandas; install python3-astropy and python3-pandas, or set PYTHON',
      );
      this.skip();
    }
    python = found;
    folder = mkdtempSync(join(tmpdir(), 'astropy-'));
  });
  after(() => {
    if (folder) rmSync(folder, { recursive: true });
  });

  function readWithPython(path: string): { reading: Reading; rewritten: string } {
    const again = join(folder, 'again.strain.csv');
    const { status, stdout, stderr } = spawnSync(python, ['-c', script, path, again], {
      encoding: 'utf8',
      maxBuffer: 1e8,
    });
    assert.equal(status, 0, stderr);
    return { reading: JSON.parse(stdout) as Reading, rewritten: readFileSync(again, 'utf8') };
  }

  function headerOf(path: string): LogHeader {
    const bytes = readFileSync(path);
    const split = splitHeader(bytes);
    const { header, problems } = parseHeader((split === 'need-more' ? finalHeader(bytes) : split).text);
    assert.ok(header, problems.map((problem) => problem.message).join('\n'));
    return header;
  }

  function agreeOnColumns(reading: Reading, header: LogHeader): void {
    assert.deepEqual(
      reading.names,
      header.columns.map((column) => column.name),
    );
    for (const { name, unit, toSiScale, toSiOffset } of header.columns) {
      const theirs = reading.units[name] ?? null;
      assert.equal(theirs === null, unit === '', name);
      if (theirs === null) continue;
      assert.ok(Math.abs(theirs[0] - toSiScale) <= 1e-12 * toSiScale, `${name}: ${theirs[0]} and ${toSiScale}`);
      assert.ok(Math.abs(theirs[1] - toSiOffset) <= 1e-9, `${name}: ${theirs[1]} and ${toSiOffset}`);
    }
  }

  it('read our header with the units we read', function () {
    this.timeout(60_000);
    const path = join(folder, 'ours.strain.csv');
    writeFileSync(path, log);
    const { reading } = readWithPython(path);
    agreeOnColumns(reading, headerOf(path));
    assert.deepEqual(reading.units.A1_T, [1, 273.15]);
    assert.deepEqual(reading.cells, ['A1']);
    assert.deepEqual(reading.values.A1_0, [1550.1201, null, null]);
    assert.deepEqual(reading.pandas.A1_120, [1.5, -2.5, 3]);
    assert.deepEqual(reading.pandas.phase, ['recoat', 'expose', 'dwell']);
  });

  it('write a log that is still a strain log', function () {
    this.timeout(60_000);
    const path = join(folder, 'ours.strain.csv');
    writeFileSync(path, log);
    const { rewritten } = readWithPython(path);
    const again = join(folder, 'again.strain.csv');
    assert.match(rewritten, /%ECSV/);
    assert.deepEqual(withoutLines(headerOf(again)), withoutLines(headerOf(path)));
  });

  const samples = new URL('../../sample-logs/', import.meta.url).pathname;
  for (const name of readdirSync(samples).filter((file) => file.endsWith('.strain.csv'))) {
    it(`read ${name} with the units we read`, function () {
      this.timeout(60_000);
      const bytes = readFileSync(join(samples, name));
      const split = splitHeader(bytes);
      const { header, problems } = parseHeader((split === 'need-more' ? finalHeader(bytes) : split).text);
      if (!header) {
        assert.ok(problems.some((problem) => problem.severity === 'error'));
        return;
      }
      const { reading } = readWithPython(join(samples, name));
      agreeOnColumns(reading, header);
      assert.equal(reading.rows, reading.pandas_rows);
    });
  }
});
