// The log format against the outside: what we call a strain log is read by astropy as ECSV with the right units, and by
// pandas as a table; and a log that astropy writes again is still a strain log to us.
// Sources: ECSV 1.0 (astropy proposal for enhancement 6); SI brochure (BIPM, 9th edition 2019) for prefixes and 273.15 K.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { LogHeader } from '../../src/core/header/logHeader.ts';
import { finalHeader, splitHeader } from '../../src/core/header/fileHead/headerEnd.ts';
import { parseHeader } from '../../src/core/header/parseHeader.ts';
import type { ParsedHeader } from '../../src/core/header/parseHeader.ts';

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

/** Reads logs with both libraries, in one process: units as SI factors, and values; writes the first log again. */
const script = `
import json, sys
import numpy as np, pandas as pd
from astropy.table import Table
from astropy import units as u
def si(unit):
    if unit is None: return None
    if unit.is_equivalent(u.K, equivalencies=u.temperature()):
        at = lambda v: u.Quantity(v, unit).to_value(u.K, equivalencies=u.temperature())
        return [at(1.0) - at(0.0), at(0.0)]
    return [(1 * unit).si.value, 0.0]
def values(column):
    data = np.ma.filled(np.ma.asarray(column), np.nan) if column.dtype.kind == 'f' else np.asarray(column)
    return [None if isinstance(v, float) and v != v else v for v in data.tolist()]
def reading(path):
    table = Table.read(path, format='ascii.ecsv')
    frame = pd.read_csv(path, comment='#')
    if path == sys.argv[2]: table.write(sys.argv[1], format='ascii.ecsv', delimiter=',')
    return {
        'names': table.colnames,
        'units': {c: si(table[c].unit) for c in table.colnames},
        'cells': list(table.meta.get('cells', {})),
        'rows': len(table),
        'values': {c: values(table[c][:50]) for c in table.colnames},
        'pandas': {c: [None if v != v else v for v in frame[c][:50].tolist()] for c in frame.columns},
        'pandas_rows': len(frame),
    }
print(json.dumps({path: reading(path) for path in sys.argv[2:]}))
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

const samplesFolder = new URL('../../sample-logs/', import.meta.url).pathname;
const samples = readdirSync(samplesFolder).filter((name) => name.endsWith('.strain.csv'));

function parseFile(path: string): ParsedHeader {
  const bytes = readFileSync(path);
  const split = splitHeader(bytes);
  return parseHeader((split === 'need-more' ? finalHeader(bytes) : split).text);
}

function headerOf(path: string): LogHeader {
  const { header, problems } = parseFile(path);
  assert.ok(header, problems.map((problem) => problem.message).join('\n'));
  return header;
}

function findPython(): string | undefined {
  const candidates = [process.env.PYTHON, 'python3', '/usr/bin/python3'].filter((name) => name !== undefined);
  return candidates.find((name) => spawnSync(name, ['-c', 'import astropy, pandas']).status === 0);
}

describe('astropy and pandas', () => {
  let folder = '';
  let ours = '';
  let again = '';
  let readings: Record<string, Reading> = {};

  before(function () {
    this.timeout(300_000);
    const python = findPython();
    if (python === undefined) {
      console.log(
        '    not run: no python3 with astropy and pandas; install python3-astropy and python3-pandas, or set PYTHON',
      );
      this.skip();
    }
    folder = mkdtempSync(join(tmpdir(), 'astropy-'));
    [ours, again] = [join(folder, 'ours.strain.csv'), join(folder, 'again.strain.csv')];
    writeFileSync(ours, log);
    const logs = [ours, ...samples.map((name) => join(samplesFolder, name)).filter((path) => parseFile(path).header)];
    const { status, stdout, stderr } = spawnSync(python, ['-c', script, again, ...logs], {
      encoding: 'utf8',
      maxBuffer: 1e8,
    });
    assert.equal(status, 0, stderr);
    readings = JSON.parse(stdout) as Record<string, Reading>;
  });
  after(() => {
    if (folder !== '') rmSync(folder, { recursive: true });
  });

  function agree(path: string): void {
    const [reading, header] = [readings[path]!, headerOf(path)];
    assert.deepEqual(
      reading.names,
      header.columns.map((column) => column.name),
    );
    for (const { name, unit, toSiScale, toSiOffset } of header.columns) {
      const theirs = reading.units[name] ?? null;
      assert.equal(theirs === null, unit === '', name);
      assert.deepEqual(reading.values[name], reading.pandas[name], name);
      if (theirs === null) continue;
      assert.ok(Math.abs(theirs[0] - toSiScale) <= 1e-12 * toSiScale, `${name}: ${theirs[0]} and ${toSiScale}`);
      assert.ok(Math.abs(theirs[1] - toSiOffset) <= 1e-9, `${name}: ${theirs[1]} and ${toSiOffset}`);
    }
    assert.equal(reading.rows, reading.pandas_rows);
    assert.deepEqual([...reading.cells].sort(), header.cells.map((cell) => cell.name).sort());
  }

  it('read our header with the units we read', () => {
    agree(ours);
    const { units, values } = readings[ours]!;
    assert.deepEqual([units.time, units.layer, units.A1_T], [[1, 0], null, [1, 273.15]]);
    assert.deepEqual(values.A1_0, [1550.1201, null, null]);
    assert.deepEqual(values.A1_120, [1.5, -2.5, 3]);
    assert.deepEqual(values.phase, ['recoat', 'expose', 'dwell']);
  });

  it('write a log that is still the same strain log', () => {
    assert.deepEqual(withoutLines(headerOf(again)), withoutLines(headerOf(ours)));
  });

  for (const name of samples) {
    it(`read ${name} as we do, unless its header is faulty`, () => {
      const path = join(samplesFolder, name);
      const { header, problems } = parseFile(path);
      if (header) agree(path);
      else assert.ok(problems.some((problem) => problem.severity === 'error'));
    });
  }
});
