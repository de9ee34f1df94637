// The gate's rules, each with its own log, and that block boundaries and interruptions change nothing.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { createGate, createScanner } from '../../../src/core/table/tableScanner.ts';
import { ProblemFold, shiftProblem } from '../../../src/core/table/rowProblems.ts';
import { emptyBlock } from '../../../src/core/table/rowBlock.ts';
import type { RowGate } from '../../../src/core/table/rowGate.ts';
import type { RowBlock } from '../../../src/core/table/rowBlock.ts';
import { bytesOf, headerOf, type TestHeader } from './scanning.ts';

interface Kept {
  readonly row: number;
  readonly line: number;
  readonly values: readonly number[];
}

const header = headerOf(['time', 'layer', 'a']);

function copyRows(block: RowBlock, into: Kept[]): void {
  for (let row = 0; row < block.rows; row++) {
    const values = block.columns.map((column) => column[row]!);
    into.push({ row: block.firstRow + row, line: block.lines[row]!, values });
  }
}

/** Rows that pass; `flushEach` hands out a block after that many lines; `swap` may put another gate in its place. */
function pass(
  lines: readonly string[],
  options: { blockRows?: number; flushEach?: number; header?: TestHeader; swap?: (gate: RowGate) => RowGate } = {},
): { kept: Kept[]; problems: [string, number][]; gate: RowGate } {
  const table = options.header ?? header;
  const kept: Kept[] = [];
  let gate = createGate(table);
  const scanner = createScanner(table, {
    blockRows: options.blockRows ?? 100,
    startLine: 1,
    startOffset: 0,
    onBlock: (block) => {
      gate.accept(block);
      copyRows(block, kept);
      gate = options.swap?.(gate) ?? gate;
    },
    onProblem: () => undefined,
  });
  lines.forEach((line, i) => {
    scanner.push(bytesOf(`${line}\n`));
    if ((i + 1) % (options.flushEach ?? Infinity) === 0) scanner.flush();
  });
  scanner.finish();
  const last = emptyBlock(table.columns.length, 1);
  gate.finish(last);
  copyRows(last, kept);
  return { kept, problems: gate.problems.map(({ code, range }) => [code, range.line]), gate };
}

const rowsAt = (...times: readonly (number | string)[]): string[] => times.map((time, i) => `${time},${i},${10 * i}`);
const timesOf = (kept: readonly Kept[]): number[] => kept.map(({ values }) => values[0]!);

describe('row gate', () => {
  it('lets rows in order of time through and counts them', () => {
    const { kept, problems } = pass(rowsAt(0, 0.5, 1, 2), { blockRows: 3 });
    assert.deepEqual(
      kept.map(({ row, line }) => [row, line]),
      [
        [0, 1],
        [1, 2],
        [2, 3],
        [3, 4],
      ],
    );
    assert.deepEqual(problems, []);
  });

  it('skips rows without a time, repeated in time or earlier than the last one kept', () => {
    const { kept, problems } = pass(rowsAt('', 0, 1, 1, 0.5, 'nan', 2));
    assert.deepEqual(timesOf(kept), [0, 1, 2]);
    assert.deepEqual(problems, [
      ['missing-time', 1],
      ['repeated-time', 4],
      ['time-back', 5],
      ['missing-time', 6],
    ]);
    assert.deepEqual(kept.at(-1)!.values, [2, 6, 60]);
  });

  it('skips one stamp far ahead of its neighbours, not the rows behind it', () => {
    const { kept, problems } = pass(rowsAt(0, 1, 1e9, 2, 3), { blockRows: 3 });
    assert.deepEqual(timesOf(kept), [0, 1, 2, 3]);
    assert.deepEqual(problems, [['time-glitch', 3]]);
    const stuck = pass(rowsAt(0, 1, 1e9, 1e9, 1e9, 2, 3));
    assert.deepEqual(timesOf(stuck.kept), [0, 1, 2, 3]);
    assert.equal(stuck.problems.length, 3);
  });

  it('a few wrong stamps far ahead cost their own rows only, wherever they stand, the first row among them', () => {
    const wrong = fc.array(fc.integer({ min: 1000, max: 1e9 }), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(
        fc.integer({ min: 6, max: 30 }),
        fc.integer({ min: 0, max: 29 }),
        wrong,
        fc.boolean(),
        (rows, place, jumps, hasStamps) => {
          const right = Array.from({ length: rows }, (_, i) => i * 0.7);
          const at = Math.min(place, rows - 1);
          const times = [...right.slice(0, at), ...jumps.sort((a, b) => a - b), ...right.slice(at)];
          const stampOf = (timeS: number): string => new Date(1.77e12 + 1000 * timeS).toISOString();
          const table = hasStamps ? headerOf(['time:string', 'layer', 'a']) : header;
          const { kept, problems } = pass(rowsAt(...(hasStamps ? times.map(stampOf) : times)), { header: table });
          assert.deepEqual(
            timesOf(kept).map((timeS) => timeS.toFixed(6)),
            right.map((timeS) => timeS.toFixed(6)),
          );
          assert.equal(problems.filter(([code]) => code !== 'layer-back').length, jumps.length);
        },
      ),
    );
  });

  it('keeps a real leap, also where a wrong stamp stands right behind it', () => {
    assert.deepEqual(timesOf(pass(rowsAt(0, 1, 2, 500, 501, 1e9, 502, 503, 504, 505, 506)).kept), [
      ...[0, 1, 2, 500, 501, 502, 503, 504, 505, 506],
    ]);
  });

  it('keeps the rows of a log that writes one in two minutes', () => {
    const slow = Array.from({ length: 40 }, (_, i) => 120 * i);
    assert.deepEqual(timesOf(pass(rowsAt(...slow), { blockRows: 3 }).kept), slow);
  });

  it('keeps a leap forward that the next rows confirm, and tells it', () => {
    const before = Array.from({ length: 30 }, (_, i) => i);
    const { kept, problems } = pass(rowsAt(...before, 5000, 5001));
    assert.deepEqual(timesOf(kept), [...before, 5000, 5001]);
    assert.deepEqual(problems, [['time-leap', 31]]);
  });

  it('keeps a leap forward in the very last row', () => {
    const { kept } = pass(rowsAt(0, 1, 5000));
    assert.deepEqual(timesOf(kept), [0, 1, 5000]);
  });

  it('waits for a row that speaks for or against a leap, past rows that say nothing', () => {
    assert.deepEqual(timesOf(pass(rowsAt(0, 10, 500, 5, 'nan', 11)).kept), [0, 10, 11]);
    assert.deepEqual(timesOf(pass(rowsAt(0, 10, 500, 5, 'nan', 501)).kept), [0, 10, 500, 501]);
    assert.deepEqual(timesOf(pass(rowsAt(0, 500, 499.5, 501)).kept), [0, 499.5, 501]);
    const repeated = pass(rowsAt(0, 500, 500, 501));
    assert.deepEqual(timesOf(repeated.kept), [0, 500, 501]);
    assert.deepEqual(repeated.problems, [['repeated-time', 3]]);
  });

  it('keeps a layer that goes back, and tells it', () => {
    const { kept, problems } = pass(['0,5,1', '1,,1', '2,4,1', '3,4,1', '4,6,1']);
    assert.equal(kept.length, 5);
    assert.deepEqual(problems, [['layer-back', 3]]);
  });

  it('makes ISO time relative to the first row and numbers in other units seconds', () => {
    const iso = headerOf(['time:string', 'a']);
    const stamps = pass(['2026-03-02T18:04:00.100Z,1', '2026-03-02T18:04:00.350Z,1', '2026-03-03T18:04:00.1+02:00,1'], {
      header: iso,
    });
    assert.deepEqual(timesOf(stamps.kept), [0, 0.25, 79_200]);
    assert.equal(stamps.gate.originS, Date.parse('2026-03-02T18:04:00.100Z') / 1000);
    const inMs = headerOf(['time', 'a']);
    const scaled = { ...inMs, columns: inMs.columns.map((column) => ({ ...column, toSiScale: 1e-3 })) };
    assert.deepEqual(timesOf(pass(['500,1', '1500,1'], { header: scaled }).kept), [0.5, 1.5]);
  });

  const anyTime = fc.oneof(
    { weight: 6, arbitrary: fc.constant('next') },
    { weight: 1, arbitrary: fc.constantFrom('nan', 'same', 'back', 'far', 'farther', 'leap') },
  );

  it('does the same wherever blocks end and reading is interrupted', () => {
    fc.assert(
      fc.property(
        fc.array(anyTime, { maxLength: 60 }),
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 9 }),
        (steps, blockRows, flushEach) => {
          const lines = rowsAt(...timesFrom(steps));
          const whole = pass(lines);
          const swap = (gate: RowGate): RowGate => {
            const next = createGate(header);
            next.restore(structuredClone(gate.save()));
            return next;
          };
          const parts = pass(lines, { blockRows, flushEach, swap });
          assert.deepEqual(parts.kept, whole.kept);
          assert.deepEqual(parts.problems, whole.problems);
        },
      ),
      { numRuns: 1500 },
    );
  });

  it('lets through only rising times, and drops nothing in silence', () => {
    fc.assert(
      fc.property(fc.array(anyTime, { maxLength: 60 }), (steps) => {
        const lines = rowsAt(...timesFrom(steps));
        const { kept, problems } = pass(lines);
        const times = timesOf(kept);
        times.slice(1).forEach((time, i) => assert.ok(time > times[i]!));
        const skipped = problems.filter(([code]) => !['time-leap', 'layer-back'].includes(code));
        assert.equal(kept.length + skipped.length, lines.length);
      }),
    );
  });
});

function timesFrom(steps: readonly string[]): (number | string)[] {
  let time = 0;
  return steps.map((step) => {
    if (step === 'nan') return 'nan';
    if (step === 'far') return time + 1e6;
    if (step === 'farther') return time + 2e6;
    if (step === 'back') return time - 0.5;
    if (step === 'same') return time;
    time += step === 'leap' ? 400 : 1;
    return time;
  });
}

describe('problems of rows', () => {
  it('folded in pieces and shifted are the same as folded whole', () => {
    const problem = (line: number): Parameters<ProblemFold['add']>[0] => ({
      range: { line, column: 1, endLine: line, endColumn: 2 },
      severity: 'error',
      code: line % 3 === 0 ? 'a' : 'b',
      message: 'wrong',
    });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 900 }), fc.integer({ min: 0, max: 900 }), (total, cut) => {
        const whole = new ProblemFold();
        for (let line = 1; line <= total; line++) whole.add(problem(line));
        const merged = new ProblemFold();
        const first = new ProblemFold();
        const second = new ProblemFold();
        for (let line = 1; line <= total; line++) {
          if (line <= cut) first.add(problem(line));
          else second.add(shiftProblem({ ...problem(line), range: problem(line - cut).range }, cut));
        }
        for (const part of [first, second]) for (const each of part.problems()) merged.add(each);
        assert.deepEqual(merged.problems(), whole.problems());
        assert.equal(merged.total, total);
      }),
    );
  });
});
