// Units and rests that are wrong by a factor are told of the datum window, at the column's unit.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { LogHead } from '../../../src/core/pipeline/logHead.ts';
import type { HeadResult } from '../../../src/core/pipeline/logHead.ts';
import { analyse } from '../../../src/core/session.ts';

const log = readFileSync(new URL('../../../sample-logs/good-build-2.strain.csv', import.meta.url), 'utf8');
const problemsOf = (text: string) => analyse(new TextEncoder().encode(text)).problems;
/** Line of the first line that holds the text, from 1. */
const lineOf = (text: string, part: string): number => text.split('\n').findIndex((line) => line.includes(part)) + 1;

describe('units that are doubtful by what is read', () => {
  it('are not told where all is well', () => {
    assert.deepEqual(problemsOf(log), []);
  });

  it('are told of temperatures no workshop has', () => {
    const spoilt = log.replaceAll('unit: deg_C', 'unit: K');
    const told = problemsOf(spoilt).filter(({ code }) => code === 'temperature-unusual');
    assert.equal(told.length, 1);
    const [{ range, severity, message }] = told as [(typeof told)[number]];
    assert.equal(severity, 'warning');
    assert.equal(range.line, lineOf(spoilt, 'name: A1_T'));
    assert.equal(spoilt.split('\n')[range.line - 1]!.slice(range.column - 1, range.endColumn - 1), 'K');
    assert.match(message, /channel 'A1_T' reads 7\d K in the datum window; check the column's unit \(and 8 more/);
  });

  it('are told where a rest is a few per cent off what is read', () => {
    const [declared, rest] = /A1_up_0: .*rest: ([\d.]+) nm/.exec(log)!;
    const off = declared.replace(`${rest} nm`, `${(Number(rest) * 1.04).toFixed(3)} nm`);
    const told = problemsOf(log.replace(declared, off));
    assert.deepEqual(
      told.map(({ code }) => code),
      ['rest-far'],
    );
    // (1 - 1.04) / 1.04 / 0.78 of the rest, and some heat.
    assert.match(
      told[0]!.message,
      /'A1_up_0' is strained by -4\.\d % .*check the column's unit and the channel's rest/,
    );
  });

  it('are told of readings in another unit than the rest, as what no sensor can read', () => {
    const spoilt = log.replaceAll('unit: nm', 'unit: um');
    const told = problemsOf(spoilt).filter(({ code }) => code === 'impossible-reading');
    assert.match(told[0]!.message, /'A1_up_0'.*1\.\d+ to 1\.\d+ um.*check the column's unit/);
    assert.equal(told[0]!.range.line, lineOf(spoilt, 'time,layer,') + 1);
  });

  it('are errors where a channel reads nothing that can be up to the end of the datum window, whatever the pieces', () => {
    const [declared, rest] = /A1_up_0: .*rest: ([\d.]+) nm/.exec(log)!;
    const spoilt = log.replace(declared, declared.replace(`${rest} nm`, `${(Number(rest) / 1000).toFixed(6)} nm`));
    const bytes = new TextEncoder().encode(spoilt);
    const errors = [bytes.length, 997, 100_003].map((size) => {
      const head = new LogHead({ settings: {} });
      let result: HeadResult | undefined;
      for (let at = 0; !result && at < bytes.length; at += size) result = head.push(bytes.subarray(at, at + size));
      return (result ?? head.finish()).parsed.problems.filter(({ severity }) => severity === 'error');
    });
    const [{ code, message, range }] = errors[0] as [(typeof errors)[number][number]];
    assert.equal(code, 'no-possible-reading');
    assert.match(
      message,
      /'A1_up_0' reads 15\d\d where only 1\.\d+ to 1\.\d+ nm can be .* check the column's unit and the/,
    );
    assert.equal(range.line, lineOf(spoilt, 'name: A1_up_0'));
    assert.deepEqual(errors, [errors[0], errors[0], errors[0]]);
  });

  it('are no errors where a sensor is silent, or slips but now and then', () => {
    const lines = log.split('\n');
    const names = lines.findIndex((line) => line.startsWith('time,'));
    const at = lines[names]!.split(',').indexOf('A1_up_0');
    const reading = (put: (row: number, own: string) => string): string =>
      lines
        .map((line, i) => {
          if (i <= names || line === '') return line;
          return line
            .split(',')
            .map((field, column) => (column === at ? put(i - names, field) : field))
            .join(',');
        })
        .join('\n');
    const codes = (text: string) => problemsOf(text).filter(({ severity }) => severity === 'error');
    assert.deepEqual(codes(reading(() => '')), []);
    assert.deepEqual(codes(reading((row, own) => (row % 100 === 9 ? own : '0'))), []);
    assert.equal(codes(reading((row, own) => (row > 2000 ? own : '0'))).length, 1);
  });
});
