// A companion header of a foreign table: how the table is written, and problems in the companion's own text.
import assert from 'node:assert/strict';
import { splitForeign } from '../../../src/core/header/fileHead/headerEnd.ts';
import {
  parseCompanion,
  readCompanion,
  splitBeside,
  type ForeignTable,
} from '../../../src/core/header/parseCompanion.ts';
import { completionsAt } from '../../../src/core/header/language/completion.ts';
import { mostColumns } from '../../../src/core/table/rowBlock.ts';
import { checkWith } from './sampleHeader.ts';

const companion = `# how export.csv is written
strain_log: 1
plate: {size: [200 mm, 200 mm], thickness: 25 mm, material: H13}
cells: {A1: {at: [60 mm, 60 mm]}}
channel_defaults: {bragg: {strain_gain: 0.79, thermal_gain: 7e-6 1/K}}
channels:
  "T 1": {cell: A1, kind: temperature}
  g0: {cell: A1, kind: bragg, direction: 0 deg, rest: 1530 nm}
  g60: {cell: A1, kind: bragg, direction: 60 deg, rest: 1535 nm, strain_gain: 0.78}
  g120: {cell: A1, kind: bragg, direction: 120 deg, rest: 1540 nm}
columns: {time: Stamp}
table:
  delimiter: ';'
  decimal: ','
  skip_lines: 3
  time_format: 'DD.MM.YYYY HH:mm:ss'
  columns:
    - {name: T 1, unit: deg_C}
    - {name: g0, unit: nm}
    - {name: g60, unit: nm}
    - {name: g120, unit: nm}
`;
const names = 'Stamp;T 1;g0;g60;g120;"odd;name"\r\n';
const table = (text: string, ...rows: string[]) => {
  const { skipLines } = readCompanion(companion).table;
  const head = new TextEncoder().encode(`${'any\n'.repeat(skipLines)}${text}${rows.map((row) => `${row}\n`).join('')}`);
  const split = splitForeign(head, readCompanion(companion).table, true);
  assert.ok(split !== 'need-more');
  return { ...split, name: 'export.csv' };
};
const parseBeside = (text: string, foreign: ForeignTable) => parseCompanion(readCompanion(text), foreign);
const parse = (text: string) => parseBeside(text, table(names));

function edited(from: string, to: string): string {
  assert.equal(companion.split(from).length, 2, from);
  return companion.replace(from, () => to);
}

describe('a companion header', () => {
  it('describes the table', () => {
    const { header, problems, namesLine } = parse(companion);
    assert.deepEqual(problems, []);
    assert.equal(namesLine, 4);
    assert.deepEqual(header?.table, {
      delimiter: ';',
      decimal: ',',
      skipLines: 3,
      comment: '#',
      timeFormat: 'DD.MM.YYYY HH:mm:ss',
    });
    assert.deepEqual(readCompanion(companion).table, header.table);
    assert.deepEqual(
      header.columns.map((column) => column.name),
      ['Stamp', 'T 1', 'g0', 'g60', 'g120', 'odd;name'],
    );
    assert.equal(header.roles.time, 0);
  });

  it('gives channels their own gains before the defaults', () => {
    const gains = parse(companion).header?.channels.map((channel) => [
      channel.name,
      channel.strainGain,
      channel.thermalGain,
    ]);
    assert.deepEqual(gains, [
      ['T 1', 0, 0],
      ['g0', 0.79, 7e-6],
      ['g60', 0.78, 7e-6],
      ['g120', 0.79, 7e-6],
    ]);
  });

  it('is plain where the fast reader can read the table', () => {
    const plain = edited(
      "  delimiter: ';'\n  decimal: ','\n  skip_lines: 3\n  time_format: 'DD.MM.YYYY HH:mm:ss'\n",
      '  delimiter: "\\t"\n',
    );
    const { header } = parseBeside(plain, { ...table('Stamp\tT 1\tg0\tg60\tg120\n'), name: 'export.tsv' });
    assert.equal(header?.table.delimiter, '\t');
  });

  it('keeps its line ends and byte order mark out of the places', () => {
    const parsed = parse(`\uFEFF${edited('thickness: 25 mm', 'thickness: 25 MPa').replaceAll('\n', '\r\n')}`);
    assert.deepEqual(
      parsed.problems.map(({ code, range }) => [code, range.line, range.column, range.endColumn]),
      [['unit-mismatch', 3, 44, 50]],
    );
  });

  it('says which column the table lacks', () => {
    checkWith(parse, edited('{name: g60,', '{name: ⟦g6O⟧,'), {
      code: 'column-unknown',
      fix: 'g60',
      leaves: 'stops',
      says: /export\.csv/,
      others: ['unit-missing'],
    });
    checkWith(parse, edited('time: Stamp', 'time: ⟦Zeit⟧'), { code: 'column-unknown', leaves: 'stops' });
  });

  it('reports what is broken, empty or reads no table', () => {
    checkWith(parse, '⟦⟧', { code: 'strain-log-missing', leaves: 'stops' });
    checkWith(parse, edited("decimal: ','", "decimal: ⟦';'⟧"), { code: 'value-unknown', leaves: 'stops' });
    const unseparated = parse(edited("delimiter: ';'", "delimiter: ''"));
    assert.ok(unseparated.problems.some((problem) => problem.code === 'delimiter-empty'));
    assert.equal(unseparated.header, undefined);
    checkWith(parse, edited("'DD.MM.YYYY HH:mm:ss'", "⟦'DD.MM.QQQQ HH:mm:ss'⟧"), {
      code: 'time-format-unknown',
      leaves: 'stops',
      says: /'QQQQ'/,
    });
    checkWith(parse, edited('skip_lines: 3', 'skip_lines: ⟦-3⟧'), { code: 'out-of-range', leaves: 'stops' });
  });

  it('refuses a table of more columns than can be read', () => {
    const wide = `${names.trimEnd()};${Array.from({ length: mostColumns }, (_, at) => `c${at}`).join(';')}\n`;
    const { header, problems } = parseBeside(companion, table(wide));
    assert.equal(header, undefined);
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line, range.column]),
      [['too-many-columns', 17, 3]],
    );
  });

  it('takes times for ISO 8601 where the first rows show that and nothing else is said', () => {
    const text = edited("  time_format: 'DD.MM.YYYY HH:mm:ss'\n", '');
    const times = (...stamps: string[]) =>
      parseBeside(text, table(names, ...stamps.map((stamp) => `${stamp};20,5;1530,1;1535,1;1540,1;x`)));
    const typeOf = (parsed: ReturnType<typeof times>) => parsed.header?.columns[0]?.datatype;
    assert.equal(typeOf(times('', '2026-03-12T06:30:00.5Z')), 'string');
    assert.equal(typeOf(times('0,5', '1,0')), 'float64');
    assert.equal(typeOf(times()), 'float64');
    assert.equal(typeOf(times('n/a', '--')), 'float64');
    assert.equal(typeOf(times('2026-03-12T06:30:00Z', '0', '1', '2')), 'float64');
    assert.equal(typeOf(times('0', '2026-03-12T06:30:00Z', '2026-03-12T06:30:01Z')), 'string');
  });

  it('does not stop for one odd time before numbers', () => {
    const text = edited("  time_format: 'DD.MM.YYYY HH:mm:ss'\n", '');
    const odd = table(
      names,
      ...['12.03.2026 06:30:00', '0', '1,5'].map((time) => `${time};20,5;1530,1;1535,1;1540,1;x`),
    );
    const { header, problems } = parseBeside(text, odd);
    assert.deepEqual(problems, []);
    assert.equal(header?.columns[0]?.datatype, 'float64');
  });

  it('says once that the times are written otherwise, and stops', () => {
    const rows = (stamp: string) => table(names, ...[0, 1, 2].map(() => `${stamp};20,5;1530,1;1535,1;1540,1;x`));
    const layout = "  time_format: 'DD.MM.YYYY HH:mm:ss'\n";
    for (const [text, stamp, says] of [
      [
        edited(layout, '').replace('table:', '⟦table⟧:'),
        '12.03.2026 06:30:00',
        /not written in numbers; .*time_format/,
      ],
      [
        edited(layout, layout.replace(/'.*'/, '⟦$&⟧')),
        '2026-03-12 06:30',
        /as time_format '.*' has it; .*datatype: string/,
      ],
      [
        edited(layout, '').replace('columns:\n', 'columns:\n    - ⟦{name: Stamp, datatype: float64}⟧\n'),
        '2026-03-12T06:30:00Z',
        /not written in numbers; declare the column with datatype: string/,
      ],
    ] as const) {
      checkWith((one) => parseBeside(one, rows(stamp)), text, {
        code: 'time-format-unknown',
        leaves: 'stops',
        says,
      });
    }
  });

  it('finds a row of names that begins with the sign of a comment', () => {
    const marked = edited('time: Stamp', "time: '#Stamp'");
    const bytes = new TextEncoder().encode(`any\nany\nany\n#${names}12.03.2026 06:30:00;20,5;1530,1;1535,1;1540,1;x\n`);
    const split = splitBeside(bytes, readCompanion(marked), true);
    assert.ok(split !== 'need-more');
    const { header, problems } = parseBeside(marked, { ...split, name: 'export.csv' });
    assert.deepEqual(problems, []);
    assert.deepEqual([header?.columns[0]?.name, header?.roles.time, split.rows[0]?.line], ['#Stamp', 0, 5]);
  });

  it('says once that the row of names is none, and where it stands', () => {
    const lost = edited('table:', '⟦table⟧:');
    const wrong = (head: string, says: RegExp) =>
      checkWith((one) => parseBeside(one, table(head)), lost, { code: 'names-missing', leaves: 'stops', says });
    wrong('Acme\n', /^line 4 of export\.csv, 'Acme', .* none of the channels' columns; check table: skip_lines/);
    wrong(`Acme\nserial 4711\n${names}`, /line 6 has them with table: \{skip_lines: 5\}$/);
    wrong(names.replaceAll(';', '\t'), /line 4 has them with table: \{delimiter: tab\}$/);
    wrong('', /has no row of names after the 3 lines that skip_lines leaves out/);
  });

  it('completes keys of the table', () => {
    const text = edited('  skip_lines: 3\n', '  sk\n');
    const labels = completionsAt(parse(text).source, 15, 5).map((item) => item.label);
    assert.ok(
      labels.includes('skip_lines') && labels.includes('comment') && !labels.includes('decimal'),
      labels.join(),
    );
  });
});
