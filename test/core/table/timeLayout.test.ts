// Time stamps against the language's own Date, which implements the ISO 8601 calendar (ECMA-262, Time Values).
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { isoSeconds } from '../../../src/core/table/isoTime.ts';
import { timeLayoutMistake, timeReader } from '../../../src/core/table/timeLayout.ts';
import { bytesOf, headerOf, scan } from './scanning.ts';

const iso = (text: string): number => isoSeconds(bytesOf(text), 0, bytesOf(text).length);
const by = (layout: string, text: string): number => timeReader(layout)(bytesOf(text), 0, bytesOf(text).length);
const stamps = fc.date({ min: new Date('0001-01-01'), max: new Date('9999-12-31T23:59:59.999Z'), noInvalidDate: true });
const pad = (value: number, width = 2): string => String(value).padStart(width, '0');

describe('ISO 8601 stamps', () => {
  it('agree with Date over ten thousand years', () => {
    fc.assert(
      fc.property(stamps, (date) => {
        assert.equal(iso(date.toISOString()), Math.floor(date.getTime() / 1000) + date.getUTCMilliseconds() / 1000);
      }),
      { numRuns: 20_000 },
    );
  });

  it('take zones, spaces, short forms and commas', () => {
    const second = Date.parse('2026-03-02T18:04:05Z') / 1000;
    assert.equal(iso('2026-03-02T18:04:05Z'), second);
    assert.equal(iso('2026-03-02 18:04:05'), second);
    assert.equal(iso('2026-03-02t18:04:05,5z'), second + 0.5);
    assert.equal(iso('2026-03-02T20:04:05+02:00'), second);
    assert.equal(iso('2026-03-02T20:04:05+0200'), second);
    assert.equal(iso('2026-03-02T20:04:05+02'), second);
    assert.equal(iso('2026-03-02T12:34:05-05:30'), second);
    assert.equal(iso('2026-03-02T18:04Z'), second - 5);
    assert.equal(iso('2026-03-02'), Date.parse('2026-03-02') / 1000);
    assert.equal(iso('2024-02-29T00:00:00Z'), Date.parse('2024-02-29') / 1000);
  });

  it('are refused when no such moment exists or anything is malformed', () => {
    const wrong = [
      '2026-02-29',
      '2026-13-01',
      '2026-00-10',
      '2026-04-31',
      '2026-03-02T24:01:00',
      '2026-03-02T18:60:00',
    ];
    const malformed = [
      '2026-3-2',
      '2026-03-02T',
      '2026-03-02T18',
      '2026-03-02T18:04:',
      '2026-03-02T18:04:05.',
      '20260302',
    ];
    const zones = [
      '2026-03-02T18:04:05+2',
      '2026-03-02T18:04:05 Z',
      '2026-03-02T18:04:05+02-00',
      '2026-03-02T18:04:05Zx',
    ];
    for (const text of [...wrong, ...malformed, ...zones, 'noon', '12.5']) assert.ok(Number.isNaN(iso(text)), text);
  });
});

describe('time layouts', () => {
  it('agree with Date in the layouts of common loggers', () => {
    fc.assert(
      fc.property(stamps, (date) => {
        const [y, mo, d] = [pad(date.getUTCFullYear(), 4), date.getUTCMonth() + 1, date.getUTCDate()];
        const [h, mi, s] = [date.getUTCHours(), pad(date.getUTCMinutes()), pad(date.getUTCSeconds())];
        const seconds = Math.floor(date.getTime() / 1000);
        const fraction = date.getUTCMilliseconds() / 1000;
        const ms = pad(date.getUTCMilliseconds(), 3);
        assert.equal(by('DD.MM.YYYY HH:mm:ss', `${pad(d)}.${pad(mo)}.${y} ${pad(h)}:${mi}:${s}`), seconds);
        assert.equal(
          by('dd.MM.yyyy HH:mm:ss,SSS', `${pad(d)}.${pad(mo)}.${y} ${pad(h)}:${mi}:${s},${ms}`),
          seconds + fraction,
        );
        assert.equal(
          by('M/d/yyyy h:mm:ss a', `${mo}/${d}/${y} ${h % 12 || 12}:${mi}:${s} ${h < 12 ? 'AM' : 'pm'}`),
          seconds,
        );
        const name = date.toLocaleString('en-US', { month: 'short', timeZone: 'UTC' });
        assert.equal(by('d-MMM-yyyy HH:mm:ss.S', `${d}-${name}-${y} ${pad(h)}:${mi}:${s}.${ms}`), seconds + fraction);
      }),
      { numRuns: 5000 },
    );
  });

  it('take zones, literals, two-digit years and missing fractions', () => {
    const second = Date.parse('2026-03-02T18:04:05Z') / 1000;
    assert.equal(by('yyyyMMddHHmmss', '20260302180405'), second);
    assert.equal(by("yyyy-MM-dd'T'HH:mm:ssX", '2026-03-02T20:04:05+02:00'), second);
    assert.equal(by("dd.MM.yy 'o''clock' HH:mm:ss.SSS", "02.03.26 o'clock 18:04:05"), second);
    assert.equal(by('HH:mm:ss', '01:00:01'), 3601);
  });

  it('do not take what has another layout', () => {
    for (const text of [
      '2026-03-02',
      '31.02.2026 10:00:00',
      '02.03.2026 10:00',
      '02.03.2026 10:00:00x',
      '',
      '02.03.2026 25:00:00',
    ]) {
      assert.ok(Number.isNaN(by('DD.MM.YYYY HH:mm:ss', text)), text);
    }
    assert.ok(Number.isNaN(by('h:mm a', '13:00 PM')));
  });

  it('with letters that stand for nothing are a mistake that names the remedy', () => {
    assert.equal(timeLayoutMistake('DD.MM.YYYY HH:mm:ss'), '');
    assert.match(timeLayoutMistake('DD.MM.YYYYTHH:mm'), /'T' stands for nothing.*single quotes/);
    assert.match(timeLayoutMistake('EEEE dd'), /'EEEE'/);
  });
});

describe('foreign tables', () => {
  it('with semicolons, decimal commas and date stamps give the rows of their plain twin', () => {
    const foreign = headerOf(['time', 'T', 'up_0', 'remark:string'], {
      delimiter: ';',
      decimal: ',',
      comment: '%',
      timeFormat: 'DD.MM.YYYY HH:mm:ss,SSS',
    });
    const text = '% made up\r\n02.03.2026 18:04:00,000;34,98;1550,1201;"a;b"\r\n02.03.2026 18:04:00,500;;-1,5e3;x\r\n';
    const { rows, problems } = scan(foreign, text);
    const start = Date.parse('2026-03-02T18:04:00Z') / 1000;
    assert.deepEqual(problems, []);
    assert.deepEqual(
      rows.map((row) => row.values),
      [
        [start, 34.98, 1550.1201, NaN],
        [start + 0.5, NaN, -1500, NaN],
      ],
    );
  });

  it('are read the same with tabs, several characters or a character beyond ASCII between fields', () => {
    const table = (delimiter: string): string =>
      [
        ['0', '1.5', `"x${delimiter}"`],
        ['1', '-2.25', ''],
        ['2', '3'],
        ['3', '4', '5', '6'],
      ]
        .map((fields) => `${fields.join(delimiter)}\n`)
        .join('');
    const expected = scan(headerOf(['time', 'b', 'c:string']), table(','));
    assert.equal(expected.rows.length, 2);
    for (const delimiter of ['\t', ';', '::', '§', ' | ']) {
      const header = headerOf(['time', 'b', 'c:string'], { delimiter });
      for (const pieces of [[], [1], [3, 2]]) {
        const got = scan(header, table(delimiter), { pieces });
        assert.deepEqual(
          got.rows.map(({ line, values }) => [line, values]),
          expected.rows.map(({ line, values }) => [line, values]),
        );
        assert.deepEqual(
          got.problems.map(({ code, message }) => [code, message]),
          expected.problems.map(({ code, message }) => [code, message]),
        );
      }
    }
  });

  it('with commas between fields and in quoted numbers are read', () => {
    const header = headerOf(['time', 'a', 'b'], { decimal: ',' });
    const { rows } = scan(header, '0,"12,5","-0,25"\n1,7,"1,0e2"\n');
    assert.deepEqual(
      rows.map((row) => row.values),
      [
        [0, 12.5, -0.25],
        [1, 7, 100],
      ],
    );
  });

  it('tell a stamp that does not have the layout', () => {
    const header = headerOf(['time', 'a'], { timeFormat: 'HH:mm:ss' });
    const { rows, problems } = scan(header, '10:00:00,1\n10-00-01,2\n');
    assert.equal(rows.length, 1);
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line, range.column, range.endColumn]),
      [['bad-time', 2, 1, 9]],
    );
  });
});
