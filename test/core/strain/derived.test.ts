import assert from 'node:assert/strict';
import fc from 'fast-check';
import { all, create } from 'mathjs';
import { compileDerived, derivedProblems, longestExpression } from '../../../src/core/strain/derived.ts';
import { parseExpression } from '../../../src/core/strain/expressionSyntax.ts';
import type { Problem } from '../../../src/core/problem.ts';
import { header, rowBlock } from '../../support/strainLog.ts';

const log = header({
  channels: [
    { name: 'T', kind: 'temperature' },
    { name: 'up', kind: 'bragg', directionDeg: 0 },
    { name: 'low', kind: 'bragg', directionDeg: 0 },
    { name: 'f', kind: 'spectral-shift', directionDeg: 0 },
    { name: 's', kind: 'strain', directionDeg: 0 },
  ],
});
const rangeOf = (from: number, to: number): Problem['range'] => ({
  line: 7,
  column: from + 1,
  endLine: 7,
  endColumn: to + 1,
});
const compile = (expression: string): ReturnType<typeof compileDerived> =>
  compileDerived({ name: 'd', expression }, log, rangeOf, 8);

/** time, layer, T, up, low, f, s. */
const rows = rowBlock([
  [0, 1, 35, 1550.5, 1549.5, -3, 200],
  [1, 1, 36, 1551, NaN, 4, -50],
  [2, 2, 37, 1552, 1552, 0, 0],
]);
const values = (expression: string): number[] => {
  const { series, problems } = compile(expression);
  assert.deepEqual(problems, []);
  return [...series!.evaluate(rows).subarray(0, rows.rows)];
};
const problem = (expression: string): Problem => {
  const { series, problems } = compile(expression);
  assert.equal(series, undefined);
  assert.equal(problems.length, 1);
  return problems[0]!;
};

describe('a derived series', () => {
  it('is computed row by row; a missing reading leaves a gap', () => {
    assert.deepEqual(values('(up - low) / 2'), [0.5, NaN, 0]);
    assert.deepEqual(values('max(s, 0 - s) + 2 ^ 3'), [208, 58, 8]);
    assert.deepEqual(values('-s'), [-200, 50, -0]);
  });

  it('never tells of an infinity: what has no finite value is a gap', () => {
    assert.deepEqual(values('1 / s'), [1 / 200, -1 / 50, NaN]);
    assert.deepEqual(values('sqrt(s)'), [Math.sqrt(200), NaN, 0]);
    assert.deepEqual(values('log(s / s)'), [0, 0, NaN]);
  });

  it('is refused where it is no finite number in any row', () => {
    for (const expression of ['1 / 0', 'sqrt(0 - 1)', '0 / 0 + 1']) {
      assert.equal(problem(expression).code, 'derived-not-finite');
    }
  });

  it('means what mathjs means by it', () => {
    const math = create(all!);
    const leaf = fc.oneof(fc.constantFrom('a', 'b', 'pi'), fc.integer({ min: 0, max: 9 }).map(String));
    const { expression } = fc.letrec<{ expression: string }>((tie) => ({
      expression: fc.oneof(
        { depthSize: 'small' },
        leaf,
        fc
          .tuple(tie('expression'), fc.constantFrom('+', '-', '*', '/', '^'), tie('expression'))
          .map(([x, op, y]) => `${x} ${op} ${y}`),
        tie('expression').map((x) => `(${x})`),
        tie('expression').map((x) => `-${x}`),
        fc
          .tuple(fc.constantFrom('abs', 'sqrt', 'exp', 'sin', 'cos', 'atan'), tie('expression'))
          .map(([f, x]) => `${f}(${x})`),
        fc
          .tuple(fc.constantFrom('min', 'max', 'hypot', 'atan2'), tie('expression'), tie('expression'))
          .map(([f, x, y]) => `${f}(${x}, ${y})`),
      ),
    }));
    const plain = {
      ...log,
      roles: { time: -1, layer: -1, phase: -1 },
      columns: ['a', 'b'].map((name) => ({ ...log.columns[1]!, name })),
    };
    // Eighths: mathjs holds numbers equal that differ by less than its epsilon, which is not our business.
    const number = fc.integer({ min: -80, max: 80 }).map((n) => n / 8);
    fc.assert(
      fc.property(expression, number, number, (text, a, b) => {
        const { series, problems } = compileDerived({ name: 'd', expression: text }, plain, rangeOf, 1);
        // Nothing but numbers, which come to none on the way at least.
        const refused = problems.some(({ code }) => code === 'derived-not-finite');
        if (refused) return assert.ok(!/\b[ab]\b/.test(text) && /\^|exp|sqrt|\//.test(text), text);
        assert.deepEqual(problems, [], text);
        const got = series!.evaluate(rowBlock([[a, b]]))[0]!;
        let expected: unknown;
        try {
          expected = math.evaluate(text, { a, b });
        } catch {
          // Complex numbers on the way, which have no order: beyond what a column can hold.
          return;
        }
        if (typeof expected !== 'number' || !Number.isFinite(expected)) return;
        if (Number.isNaN(got)) return assert.ok(/\^|exp|sqrt|\//.test(text), text);
        assert.ok(Math.abs(got - expected) <= 1e-9 * Math.max(1, Math.abs(expected)), `${text}: ${got} ${expected}`);
      }),
      // A case that once failed: zeros of both signs.
      { numRuns: 500, examples: [['atan2(min(-abs(0), a) + 0, min(a, min(-min(a, 0), min(a, 0))))', 0, 0]] },
    );
  });

  it('is read, and refused, as the whole of mathjs does it', () => {
    const math = create(all!);
    const words =
      'a b2 2 .5 1e3 0x1f + - * / ^ % ( ) [ ] , : ; ? = < > ! . " true and not in { } sqrt( f( \' # .* =='.split(' ');
    const told = (parse: (text: string) => { toString(options?: object): string }, text: string): string => {
      try {
        return parse(text).toString({ parenthesis: 'all' });
      } catch (error) {
        return `${String(error)} at ${(error as { char?: number }).char}`;
      }
    };
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...words), { maxLength: 8 }), fc.constantFrom('', ' '), (some, between) => {
        const text = some.join(between);
        assert.equal(told(parseExpression, text), told(math.parse, text), text);
      }),
      { numRuns: 3000 },
    );
  });

  it('knows its unit', () => {
    const unit = (expression: string): string => compile(expression).series!.unit;
    assert.equal(unit('up - low'), 'nm');
    assert.equal(unit('up + 5'), 'nm');
    assert.equal(unit('up / low'), '');
    assert.equal(unit('up * low'), 'nm^2');
    assert.equal(unit('sqrt(up * low)'), 'nm');
    assert.equal(unit('1 / time'), '1/s');
    assert.equal(unit('up / (f * time)'), 'nm/(GHz s)');
    assert.equal(unit('s / time'), '(um/m)/s');
    assert.equal(unit('T - T'), 'K');
    assert.equal(unit('(T + T) / 2'), 'deg_C');
    assert.equal(unit('atan2(up, low)'), '');
    assert.equal(unit('layer'), '');
  });

  const refused: [expression: string, code: string, marked: string][] = [
    ['up + f', 'derived-unit-mismatch', 'up + f'],
    ['s + layer', 'derived-unit-mismatch', 's + layer'],
    ['s - up', 'derived-unit-mismatch', 's - up'],
    ['max(up, T)', 'derived-unit-mismatch', 'max'],
    ['exp(up)', 'derived-unit-mismatch', 'exp'],
    ['sin(T)', 'derived-unit-mismatch', 'sin'],
    ['2 ^ up', 'derived-unit-mismatch', '2 ^ up'],
    ['up ^ layer', 'derived-unit-mismatch', 'up ^ layer'],
    ['up + B9_up', 'derived-unknown-name', 'B9_up'],
    ['up - upp', 'derived-unknown-name', 'upp'],
    ['true', 'derived-forbidden', 'true'],
    ['1e999', 'derived-forbidden', '1e999'],
    ['up = 3', 'derived-forbidden', 'up = 3'],
    ['g(x) = x', 'derived-forbidden', 'g(x) = x'],
    ['import(up)', 'derived-forbidden', 'import'],
    ['evaluate("1+1")', 'derived-forbidden', 'evaluate'],
    ['parse("1")', 'derived-forbidden', 'parse'],
    ['createUnit("x")', 'derived-forbidden', 'createUnit'],
    ['up.constructor', 'derived-forbidden', 'up.constructor'],
    ['up["constructor"]', 'derived-forbidden', 'up["constructor"]'],
    ['up.constructor("return 1")', 'derived-forbidden', 'up.constructor("return 1")'],
    ['constructor', 'derived-unknown-name', 'constructor'],
    ['__proto__', 'derived-unknown-name', '__proto__'],
    ['toString(up)', 'derived-forbidden', 'toString'],
    ['hasOwnProperty', 'derived-unknown-name', 'hasOwnProperty'],
    ['up ? 1 : 2', 'derived-forbidden', 'up ? 1 : 2'],
    ['[up, low]', 'derived-forbidden', '[up, low]'],
    ['{a: up}', 'derived-forbidden', '{a: up}'],
    ['up; low', 'derived-forbidden', 'up; low'],
    ['up > low', 'derived-forbidden', '>'],
    ["up'", 'derived-forbidden', "'"],
    ['layer!', 'derived-forbidden', '!'],
    ['5 % layer', 'derived-forbidden', '%'],
    ['sqrt(up, low)', 'derived-syntax', 'sqrt'],
    ['max(up)', 'derived-syntax', 'max'],
    ['atan2(1, 2, 3)', 'derived-syntax', 'atan2'],
    ['up +', 'derived-syntax', ''],
    ['(up', 'derived-syntax', ''],
    ['', 'derived-syntax', ''],
    ['µ', 'derived-syntax', 'µ'],
  ];
  for (const [expression, code, marked] of refused) {
    it(`is refused as ${code}: ${expression}`, () => {
      const { range, severity, message, ...rest } = problem(expression);
      assert.equal(rest.code, code);
      assert.equal(severity, 'error');
      if (marked !== '') assert.equal(expression.slice(range.column - 1, range.endColumn - 1), marked);
      assert.doesNotMatch(message, /undefined|NaN|\[object/);
    });
  }

  it('is refused where it is too long, before anything is parsed', () => {
    assert.equal(problem(`${'('.repeat(longestExpression)}1`).code, 'derived-too-long');
    assert.equal(problem(`${'('.repeat(490)}up${')'.repeat(490)}`).code, 'derived-too-long');
    assert.deepEqual(values(`${'('.repeat(40)}up${')'.repeat(40)}`), [1550.5, 1551, 1552]);
  });

  it('has its problems told at its place in the header', () => {
    const faulty = { ...log, derived: [{ name: 'a', expression: 'up - nothing' }] };
    const value = { line: 30, column: 12, endLine: 30, endColumn: 24 };
    const [plain] = derivedProblems(faulty, () => value);
    assert.deepEqual(plain!.range, { line: 30, column: 17, endLine: 30, endColumn: 24 });
    const [quoted] = derivedProblems(faulty, () => ({ ...value, endColumn: 26 }));
    assert.deepEqual(quoted!.range, { line: 30, column: 18, endLine: 30, endColumn: 25 });
    const block = { line: 30, column: 12, endLine: 32, endColumn: 3 };
    assert.deepEqual(derivedProblems(faulty, () => block)[0]!.range, block);
    assert.match(plain!.message, /'a'.*no column is named 'nothing'/);
  });
});
