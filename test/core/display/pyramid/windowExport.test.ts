import assert from 'node:assert/strict';
import { parse } from 'csv-parse/sync';
import { pandasCode, windowCsv, type PandasWindow } from '../../../../src/core/display/pyramid/windowExport.ts';

describe('window as CSV', () => {
  it('holds exactly the rows inside, missing values as empty fields, names quoted where needed', () => {
    const text = windowCsv(
      {
        timeS: [0, 1, 2, 3],
        series: [
          { id: 'A, "one"', unitLabel: 'µm/m', values: [1, NaN, -2.5, 9] },
          { id: 'B', unitLabel: '', values: [1, 2, Infinity, 4] },
        ],
      },
      1,
      2,
    );
    assert.deepEqual(parse(text), [
      ['time [s]', 'A, "one" [µm/m]', 'B'],
      ['1', '', '2'],
      ['2', '-2.5', ''],
    ]);
  });
});

describe('pandas code', () => {
  const column = (name: string, datatype = 'float64') => ({ name, unit: '', datatype, toSiScale: 1, toSiOffset: 0 });
  const window: PandasWindow = {
    logName: 'a.strain.csv',
    header: {
      columns: [column('time'), column('B2_up_0')],
      roles: { time: 0, layer: -1, phase: -1 },
      table: { delimiter: ',', decimal: '.', skipLines: 0, comment: '#', timeFormat: '' },
    },
    fromS: 10,
    toS: 20.5,
    series: ['B2_up_0'],
  };

  it('loads exactly the shown stretch of the log', () => {
    const code = pandasCode(window);
    assert.match(code, /pd\.read_csv\("a\.strain\.csv", comment="#"\)/);
    assert.match(code, /between\(10, 20\.5\)/);
    assert.match(code, /y=\["B2_up_0"\]/);
    assert.doesNotMatch(code, /derive/);
  });

  it("takes derived quantities from the derive command's table", () => {
    const code = pandasCode({ ...window, logName: 'my log.strain.csv', series: ['B2_up_e1'] });
    assert.match(code, /underplate derive 'my log\.strain\.csv' --output 'my log\.derived\.csv'/);
    assert.match(code, /read_csv\("my log\.derived\.csv", comment="#"\)/);
  });

  it('says how a foreign table is written', () => {
    const table = { ...window.header.table, delimiter: ';', decimal: ',' as const, skipLines: 3, comment: '' };
    const columns = [column('Zeit', 'string'), column('B2_up_0')];
    const code = pandasCode({ ...window, header: { ...window.header, columns, table } });
    assert.match(code, /sep=";", decimal=",", skiprows=3/);
    assert.match(code, /pd\.to_datetime\(window\["Zeit"\]\)/);
  });
});
