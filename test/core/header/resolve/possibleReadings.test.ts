// What a channel's readings can be, in the unit of its column.
import assert from 'node:assert/strict';
import { parseHeader } from '../../../../src/core/header/parseHeader.ts';

function columnsOf(...channels: readonly (readonly [unit: string, keys: string])[]) {
  const text = [
    '# %ECSV 1.0',
    '# ---',
    "# delimiter: ','",
    '# datatype:',
    '# - {name: time, unit: s, datatype: float64}',
    '# - {name: layer, datatype: int32}',
    ...channels.map(([unit], i) => `# - {name: c${i}, unit: ${unit}, datatype: float64}`),
    '# - {name: gas, unit: "%", datatype: float64}',
    '# meta:',
    '#   strain_log: 1',
    '#   cells: {A: {at: [10 mm, 10 mm]}}',
    '#   channels:',
    ...channels.map(([, keys], i) => `#     c${i}: {cell: A, ${keys}}`),
    `time,layer,${channels.map((_, i) => `c${i},`).join('')}gas`,
    '',
  ].join('\n');
  const { header, problems } = parseHeader(text);
  assert.ok(header, JSON.stringify(problems));
  return header.columns;
}

const near = (a: number, b: number): void => assert.ok(Math.abs(a - b) <= 1e-9 * Math.abs(b) + 1e-9, `${a}, not ${b}`);

describe('what a reading can be', () => {
  const at = 'direction: 0 deg';
  const cases: readonly (readonly [unit: string, keys: string, above: number, below: number])[] = [
    ['deg_C', 'kind: temperature', -273.15, 4726.85],
    ['K', 'kind: temperature', 0, 5000],
    ['nm', `kind: bragg, rest: 1550 nm, ${at}`, 1395, 1705],
    ['pm', `kind: bragg, rest: 1550 nm, ${at}`, 1395e3, 1705e3],
    ['um/m', `kind: strain, ${at}`, -1e5, 1e5],
    ['"%"', `kind: strain, ${at}`, -10, 10],
    ['GHz', `kind: spectral-shift, rest: 20 GHz, strain_slope: -0.15 GHz/(um/m), ${at}`, 20 - 15e3, 20 + 15e3],
  ];
  for (const [unit, keys, above, below] of cases) {
    it(`of ${keys} in ${unit}`, () => {
      const { possible } = columnsOf([unit, keys])[2]!;
      near(possible!.above, above);
      near(possible!.below, below);
      assert.equal(possible!.whole, false);
    });
  }

  it('lets frequencies of light pass where no rest is given', () => {
    const { possible } = columnsOf(['THz', `kind: spectral-shift, ${at}`])[2]!;
    assert.ok(possible!.above < 193 && possible!.below > 193 && possible!.below < 1e6);
  });

  it('of a layer is a whole number, of a column without a channel not known', () => {
    const columns = columnsOf(['deg_C', 'kind: temperature']);
    assert.deepEqual(columns[1]!.possible, { above: -(2 ** 31) - 1, below: 2 ** 31, whole: true });
    assert.equal(columns[0]!.possible, undefined);
    assert.equal(columns[3]!.possible, undefined);
  });
});
