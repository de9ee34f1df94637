// A header in SI: what is said, what is taken by default, and that neither order nor line ends nor spelling of the YAML
// change what is read.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';
import { materials } from '../../../src/core/header/schema/materials.ts';
import { parseHeader } from '../../../src/core/header/parseHeader.ts';
import { edited, sampleHeader, sampleValue, written } from './sampleHeader.ts';

function read(text: string): LogHeader {
  const { header, problems } = parseHeader(text);
  assert.ok(header, problems.map((problem) => problem.message).join('\n'));
  return header;
}

describe('a resolved header', () => {
  it('holds what the header says, in SI', () => {
    const header = read(sampleHeader);
    assert.deepEqual(header.plate.assumed, []);
    assert.deepEqual(header.plate.sizeM, [0.25, 0.25]);
    assert.deepEqual(header.build, {
      name: 'tray 7',
      started: '2026-03-02T18:04:00Z',
      layerHeightM: 40 * 1e-6,
      plannedLayers: 1450,
    });
    assert.deepEqual(header.datum, { fromS: 60, toS: 180 });
    assert.equal(header.recoaterDirectionRad, Math.PI / 2);
    assert.deepEqual(
      header.channels.map((channel) => channel.line),
      [19, 20, 21, 22],
    );
    assert.deepEqual(
      header.channels.map((channel) => channel.plane),
      [-1, 0, 0, 0],
    );
    assert.equal(header.table.skipLines, 27);
    assert.deepEqual(header.roles, { time: 0, layer: 1, phase: -1 });
  });

  it('takes what is not said from the stated defaults', () => {
    const header = read(
      sampleHeader
        .replace(/# {3}(build|datum|recoater|parts|planes): .*\n/g, '')
        .replace(/# {3}parts:\n.*\n/, '')
        .replaceAll('plane: up, ', ''),
    );
    assert.deepEqual(header.detection, { falseAlarmHours: 200, smallestJump: 0.5e-6, mute: [] });
    assert.equal(header.datum, undefined);
    assert.deepEqual([header.parts, header.planes, header.derived], [[], [], []]);
    assert.deepEqual(
      header.channels.map((channel) => channel.plane),
      [-1, -1, -1, -1],
    );
    assert.ok(Number.isNaN(header.recoaterDirectionRad));
  });

  it('reads detection, derived series and roles', () => {
    const header = read(
      edited([
        'recoater:',
        'detection: {false_alarm_budget: 2 d, smallest_jump: 0.01 mm/m, mute: [strike, spike]}\n#   derived: {lean: B2_up_0 - B2_up_90}\n#   columns: {layer: B2_T}\n#   recoater:'.replace(
          '2 d',
          '48 h',
        ),
      ]),
    );
    assert.deepEqual(header.detection, { falseAlarmHours: 48, smallestJump: 1e-5, mute: ['strike', 'spike'] });
    assert.deepEqual(header.derived, [{ name: 'lean', expression: 'B2_up_0 - B2_up_90' }]);
    assert.equal(header.roles.layer, 2);
  });

  it('reads every kind of channel with its gains', () => {
    const text = `# %ECSV 1.0
# ---
# delimiter: ','
# datatype:
# - {name: time, unit: ms, datatype: int64}
# - {name: T, unit: K, datatype: float64}
# - {name: b, unit: pm, datatype: float64}
# - {name: s, unit: GHz, datatype: float64}
# - {name: e, unit: um/m, datatype: float64}
# - {name: r, unit: nm, datatype: float64}
# - {name: q, unit: MHz, datatype: float64}
# - {name: a, unit: um/m, datatype: float64}
# - {name: t, unit: um/m, datatype: float64}
# meta:
#   strain_log: 1
#   plate: {thickness: 25 mm, material: ti64}
#   cells: {1: {at: [10 mm, 20 mm]}}
#   channels:
#     T: {kind: temperature}
#     b: {cell: '1', kind: bragg, direction: 0 deg, rest: 1550 nm}
#     s: {cell: '1', kind: spectral-shift, direction: 60 deg, strain_slope: -0.15 GHz/(um/m), thermal_slope: -1.2 GHz/K}
#     e: {cell: '1', kind: strain, direction: 120 deg, compensated: true}
#     r: {cell: '1', kind: bragg, rest: 1560 nm, strain_free: true}
#     q: {kind: spectral-shift, strain_free: true, rest: 3 GHz}
#     a: {cell: '1', kind: strain, direction: 90 deg, thermal_gain: 8.3 um/m/K}
#     t: {cell: '1', kind: strain, direction: 30 deg}
time,T,b,s,e,r,q,a,t
`;
    const { header, problems } = parseHeader(text);
    assert.deepEqual(
      problems.map(({ code, message }) => [code, /no (\w+), so/.exec(message)?.[1]]),
      [
        ['gain-assumed', 'strain_gain'],
        ['gain-assumed', 'thermal_gain'],
        ['gain-assumed', 'strain_slope'],
        ['gain-assumed', 'thermal_slope'],
        ['gain-assumed', 'thermal_gain'],
        // The cell's own reference goes before the plate's two.
        ['thermometer-unused', undefined],
        ['thermometer-unused', undefined],
      ],
    );
    assert.deepEqual(
      header?.channels.map(({ name, cell, rest, strainGain, thermalGain, compensated, strainFree }) => ({
        name,
        cell,
        rest,
        strainGain,
        thermalGain,
        compensated,
        strainFree,
      })),
      [
        { name: 'T', cell: -1, rest: 0, strainGain: 0, thermalGain: 0, compensated: false, strainFree: false },
        {
          name: 'b',
          cell: 0,
          rest: 1550 * 1e-9,
          strainGain: 0.78,
          thermalGain: 6.5e-6,
          compensated: false,
          strainFree: false,
        },
        {
          name: 's',
          cell: 0,
          rest: 0,
          strainGain: -0.15e15,
          thermalGain: -1.2e9,
          compensated: false,
          strainFree: false,
        },
        { name: 'e', cell: 0, rest: 0, strainGain: 1, thermalGain: 0, compensated: true, strainFree: false },
        {
          name: 'r',
          cell: 0,
          rest: 1560 * 1e-9,
          strainGain: 0.78,
          thermalGain: 6.5e-6,
          compensated: false,
          strainFree: true,
        },
        {
          name: 'q',
          cell: -1,
          rest: 3e9,
          strainGain: -0.1509e15,
          thermalGain: -1.165e9,
          compensated: false,
          strainFree: true,
        },
        { name: 'a', cell: 0, rest: 0, strainGain: 1, thermalGain: 8.3e-6, compensated: false, strainFree: false },
        { name: 't', cell: 0, rest: 0, strainGain: 1, thermalGain: 0, compensated: false, strainFree: false },
      ],
    );
    assert.equal(header.columns[0]?.toSiScale, 1e-3);
    assert.deepEqual([header.plate.material, header.plate.youngsModulusPa], ['ti64', 113.8e9]);
    assert.deepEqual(header.plate.assumed, [
      'size',
      'youngs_modulus',
      'poissons_ratio',
      'thermal_expansion',
      'yield_stress',
    ]);
  });

  it('lets the header win over the table of materials', () => {
    const { plate } = read(
      edited(['youngs_modulus: 68.9 GPa,', 'youngs_modulus: 70 GPa,'], ['#     poissons_ratio: 0.33, ', '#     ']),
    );
    assert.deepEqual([plate.youngsModulusPa, plate.poissonsRatio, plate.assumed], [70e9, 0.33, ['poissons_ratio']]);
  });

  it('takes the 2014 draft of ECSV, with columns and type', () => {
    const draft = sampleHeader.replace('# datatype:', '# columns:').replaceAll(', datatype: ', ', type: ');
    assert.deepEqual(parseHeader(draft).problems, []);
    assert.deepEqual(read(draft), read(sampleHeader));
  });

  it('takes ordered maps, references and merged keys, as other writers of YAML use them', () => {
    const asList = sampleHeader
      .replace('# meta:\n', '# meta: !!omap\n')
      .replace(/^# {3}(\w+:)/gm, '# - $1')
      .replace(/^# {5}(?=poissons|bracket|B2_)/gm, '#       ');
    assert.deepEqual(parseHeader(asList).problems, []);
    assert.deepEqual(read(asList), read(sampleHeader));
    assert.deepEqual(parseHeader(asList).rangeOf(['meta', 'cells', 'B2', 'at']), {
      line: 17,
      column: 22,
      endLine: 17,
      endColumn: 36,
    });
    const merged = edited(
      [
        'B2_up_0: {cell: B2, plane: up, kind: bragg, direction: 0 deg, rest: 1550.120 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}',
        'B2_up_0: &first {cell: B2, plane: up, kind: bragg, direction: 0 deg, rest: 1550.120 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}',
      ],
      [
        'B2_up_45: {cell: B2, plane: up, kind: bragg, direction: 45 deg, rest: 1552.004 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}',
        'B2_up_45: {<<: *first, direction: 45 deg, rest: 1552.004 nm}',
      ],
    );
    assert.deepEqual(parseHeader(merged).problems, []);
    assert.deepEqual(read(merged), read(sampleHeader));
  });

  it('refuses references that would fill the memory', () => {
    const levels = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i'];
    const bomb = levels.map(
      (name, at) =>
        `#   ${name}: &${name} [${Array(9)
          .fill(at === 0 ? 'x' : `*${levels[at - 1]}`)
          .join(', ')}]\n`,
    );
    const { header, problems } = parseHeader(
      sampleHeader.replace('#   recoater:', () => `${bomb.join('')}#   recoater:`),
    );
    assert.equal(header, undefined);
    assert.deepEqual(
      problems.map((problem) => problem.code),
      ['yaml-syntax'],
    );
  });

  it('takes comments and blank lines between header lines', () => {
    const commented = sampleHeader.replace('# meta:', '## {not: yaml\n#\n\n# meta: # the log itself');
    assert.deepEqual(parseHeader(commented).problems, []);
    assert.equal(parseHeader(commented).namesLine, 31);
  });

  it('is the same whatever the order of keys, the style of the YAML, line ends and byte order mark', () => {
    const shuffled = (value: unknown, order: () => number): unknown => {
      if (Array.isArray(value)) return value.map((item) => shuffled(item, order));
      if (typeof value !== 'object' || value === null) return value;
      const keys = Object.entries(value).map(([key, item]) => [order(), key, shuffled(item, order)] as const);
      return Object.fromEntries(keys.sort((a, b) => a[0] - b[0]).map(([, key, item]) => [key, item]));
    };
    // Planes are numbered in the order they stand, so only their names are compared.
    const essence = (header: LogHeader) => ({
      ...header,
      planes: [...header.planes].sort((a, b) => a.heightM - b.heightM),
      channels: header.channels.map((channel) => ({ ...channel, line: 0, plane: header.planes[channel.plane]?.name })),
      table: { ...header.table, skipLines: 0 },
    });
    const expected = essence(read(sampleHeader));
    fc.assert(
      fc.property(
        fc.infiniteStream(fc.nat()),
        fc.boolean(),
        fc.constantFrom('\n', '\r\n'),
        fc.constantFrom('', '\uFEFF'),
        (numbers, flow, lineEnd, mark) => {
          const value = shuffled(sampleValue, () => numbers.next().value as number);
          const { header, problems } = parseHeader(written(value, { flow, lineEnd, mark }));
          assert.deepEqual(problems, []);
          assert.deepEqual(essence(header!), expected);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('names a handbook for each material', () => {
    for (const row of materials) {
      assert.match(row.source, /\(\d{4}\)/);
      assert.ok(row.poissonsRatio > 0.2 && row.poissonsRatio < 0.4 && row.youngsModulusPa > 5e10);
    }
  });
});
