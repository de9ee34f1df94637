// The head of a log: what is wrong with its datum; of a foreign table, whose row of names follows lines of anything.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { headerLimit } from '../../../src/core/header/fileHead/headerEnd.ts';
import { LogHead } from '../../../src/core/pipeline/logHead.ts';
import type { HeadResult } from '../../../src/core/pipeline/logHead.ts';
import { edited, sampleHeader } from '../header/sampleHeader.ts';

const sample = new URL('../../../sample-logs/foreign-table.csv', import.meta.url);
const companion = {
  text: readFileSync(new URL(`${sample.href}.header.yaml`), 'utf8'),
  name: 'foreign-table.csv.header.yaml',
};

function headOf(bytes: Uint8Array): HeadResult {
  const head = new LogHead({ settings: {}, companion });
  return head.push(bytes) ?? head.finish();
}

describe('the head of a log', () => {
  const wholeDatum = 'datum: {from: 60 s, to: 180 s}';
  const rows = (count: number, reading: (second: number) => string): string =>
    Array.from(
      { length: count },
      (_, t) => `${[t, 0, reading(t), ...[1550, 1552, 1553].map((nm) => nm + 1e-4 * (t % 3))].join()}\n`,
    ).join('');
  const read = (text: string): HeadResult => {
    const head = new LogHead({ settings: {} });
    return head.push(new TextEncoder().encode(text)) ?? head.finish();
  };

  it('tells of a datum that is not fit where the header names it, with the remedy', () => {
    const silent = edited() + rows(300, () => '');
    const { problems } = read(silent).parsed;
    assert.deepEqual(
      problems.map(({ code, severity }) => [code, severity]),
      [['datum-unfit', 'warning']],
    );
    const { message, range } = problems[0]!;
    assert.match(
      message,
      /^thermometer B2_T has no usable reading .* no strain for B2; choose a window in which it reads$/,
    );
    const line = silent.split('\n')[range.line - 1]!;
    assert.equal(line.slice(range.column - 1, range.endColumn - 1), wholeDatum.slice('datum: '.length));
  });

  it('says nothing of a datum that is fit, nor of a log without rows', () => {
    assert.deepEqual(read(edited() + rows(300, (t) => String(35 + 0.01 * (t % 5)))).parsed.problems, []);
    assert.deepEqual(read(edited()).parsed.problems, []);
  });

  it('awaits names until their row has its line break', () => {
    const names = sampleHeader.lastIndexOf('\n', sampleHeader.length - 2) + 1;
    for (const [text, awaits] of [
      ['', true],
      [sampleHeader.slice(0, 300), true],
      [sampleHeader.slice(0, names), true],
      [sampleHeader.slice(0, names + 8), true],
      [sampleHeader, false],
      ['hello,world\n', false],
      [sampleHeader.replace('30 mm', '30'), false],
    ] as const) {
      assert.equal(read(text).awaitsNames, awaits, text);
    }
    const table = readFileSync(sample);
    const namesEnd = headOf(table).basis!.bodyOffset;
    assert.equal(headOf(table.subarray(0, namesEnd)).awaitsNames, false);
    assert.equal(headOf(table.subarray(0, namesEnd - 9)).awaitsNames, true);
    assert.equal(headOf(table.subarray(0, 0)).awaitsNames, true);
  });

  it('tells of the default datum at the head of the strain log', () => {
    const [problem] = read(edited([`#   ${wholeDatum}\n`, '']) + rows(5, () => '35')).parsed.problems;
    assert.match(problem!.message, /only 5 rows; 20 are needed/);
    assert.equal(sampleHeader.split('\n')[problem!.range.line - 1], '#   strain_log: 1');
  });
});

describe('problems of the head', () => {
  // Datum, unit and rest are wrong, which is known from rows alone.
  const text = `strain_log: 1
datum: {from: 0 s, to: 4 s}
cells: {A: {at: [75 mm, 75 mm]}}
channels:
  T: {cell: A, kind: temperature}
  c0: {cell: A, kind: bragg, direction: 0 deg, rest: 1450 nm}
  c90: {cell: A, kind: bragg, direction: 90 deg, rest: 1550 nm}
columns: {time: time}
table:
  columns:
  - {name: T, unit: K}
  - {name: c0, unit: nm}
  - {name: c90, unit: nm}
`;
  const table = `time,T,c0,c90\n${Array.from({ length: 30 }, (_, t) => `${t},30,1550.${t % 3},1550.${t % 2}\n`).join('')}`;
  const name = 'log.csv.header.yaml';
  const head = new LogHead({
    settings: { derived: [{ name: 'q', expression: 'nosuch+1' }] },
    companion: { text, name },
  });
  const bytes = new TextEncoder().encode(table);
  const { problems } = (head.push(bytes) ?? head.finish()).parsed;

  it('stand in the order of their places, those known from rows too', () => {
    const ofCompanion = problems.filter(({ file }) => file === name);
    const lines = ofCompanion.map(({ range }) => range.line);
    for (const fromRows of ['datum-unfit', 'temperature-unusual', 'rest-far']) {
      assert.ok(
        ofCompanion.some(({ code }) => code === fromRows),
        fromRows,
      );
    }
    assert.deepEqual(
      lines,
      [...lines].sort((a, b) => a - b),
    );
  });

  it('lie in no companion where they are of what was asked for beside it', () => {
    const asked = problems.filter(({ message }) => message.includes('nosuch'));
    assert.deepEqual(
      asked.map(({ code, file, range }) => [code, file, range.line]),
      [['derived-unknown-name', undefined, 1]],
    );
  });
});

describe('the head of a foreign table', () => {
  const bytes = new Uint8Array(readFileSync(sample));
  const lines = readFileSync(sample, 'latin1').split('\n');
  const names = lines.findIndex((line) => line.includes(';') && line.includes('_T'));

  it('is read whatever the pieces, and its rows begin after the row of names', () => {
    const whole = headOf(bytes).basis!;
    assert.equal(whole.bodyLine, names + 2);
    let read = 0;
    const counted = {
      ...companion,
      get text() {
        read++;
        return companion.text;
      },
    };
    const head = new LogHead({ settings: {}, companion: counted });
    let result: HeadResult | undefined;
    for (let at = 0; !result; at += 97) result = head.push(bytes.subarray(at, at + 97));
    assert.deepEqual(result.basis, whole);
    assert.equal(read, 1, 'the header beside it is read once, not at every piece');
  });

  it('may end with its row of names, without a line break', () => {
    const text = lines
      .slice(0, names + 1)
      .join('\n')
      .replace(/\r$/, '');
    const { parsed } = headOf(new TextEncoder().encode(text));
    assert.deepEqual(parsed.problems, headOf(bytes).parsed.problems);
  });

  it('tells of names that are not UTF-8, at the line of the names', () => {
    const spoilt = Uint8Array.from(bytes);
    const at = lines.slice(0, names).join('\n').length + 2;
    spoilt[at] = 0xb5;
    const problem = headOf(spoilt).parsed.problems.find(({ code }) => code === 'not-utf8');
    assert.equal(problem?.range.line, names + 1);
  });

  it('begins its rows after one of units, and says so', () => {
    const units = `-;-${';nm'.repeat(lines[names]!.split(';').length - 2)}`;
    const text = [...lines.slice(0, names + 1), units, ...lines.slice(names + 1)].join('\n');
    const { parsed, basis } = headOf(new TextEncoder().encode(text));
    assert.deepEqual(
      parsed.problems.map(({ code, severity, range, file }) => [code, severity, range.line, file]),
      [['units-row', 'information', names + 2, undefined]],
    );
    assert.equal(basis?.bodyLine, names + 3);
    assert.equal(basis.bodyOffset, headOf(bytes).basis!.bodyOffset + units.length + 1);
    // A row that only lacks its readings is one.
    const empty = `${lines[names + 1]!.split(';')[0]!}${';'.repeat(lines[names]!.split(';').length - 1)}`;
    const withEmpty = [...lines.slice(0, names + 1), empty, ...lines.slice(names + 2)].join('\n');
    assert.deepEqual(headOf(new TextEncoder().encode(withEmpty)).parsed.problems, []);
  });

  it('tells of a table without a row of names in bounded memory', () => {
    const { parsed, basis } = headOf(new Uint8Array(headerLimit + 1).fill(65));
    assert.equal(basis, undefined);
    assert.ok(parsed.problems.some(({ code }) => code === 'header-too-long'));
  });
});
