// A derived series (`bend = (B2_up_0 - B2_low_0) / 2`) -> a function that fills a column from a block of rows.
// mathjs parses the text and nothing more: no expression is ever handed to an evaluator. The tree is walked once; only
// numbers, column names, + - * / ^, brackets and the functions listed here are let through and become loops over typed
// arrays, at about a nanosecond per operation and row. Columns enter in the file's own units, and units are checked.
// What is not finite comes out as NaN.
import type { MathNode } from 'mathjs';
import type { DerivedSeries, LogHeader } from '../header/logHeader.ts';
import { wholeLine } from '../problem.ts';
import type { Problem, TextRange } from '../problem.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { binary, constants, keeping, ofAngle, ofMany, ofPlain } from './derivedFunctions.ts';
import type { Loop, Values } from './derivedFunctions.ts';
import { added, isPlain, literal, multiplied, plainNumber, raised, spelledUnit, unitText } from './derivedUnits.ts';
import type { SpelledUnit } from './derivedUnits.ts';
import { parseExpression } from './expressionSyntax.ts';

/** Longest expression read; far beyond any real one, it bounds the depth of the tree. */
export const longestExpression = 1000;

export interface CompiledSeries {
  readonly name: string;
  /** Unit of the values, ECSV spelling, '' for a plain number. */
  readonly unit: string;
  /** Overwritten by the next call; the first `rows.rows` values count. */
  evaluate(rows: RowBlock): Float64Array;
}

/** Text range of characters `from` to `to` (from 0, end exclusive) of the expression, for problems. */
export type RangeOf = (from: number, to: number) => TextRange;

/** `capacity` is the most rows a block may hold. */
export function compileDerived(
  { name, expression }: DerivedSeries,
  header: LogHeader,
  rangeOf: RangeOf,
  capacity: number,
): { readonly series: CompiledSeries | undefined; readonly problems: readonly Problem[] } {
  try {
    const root = new Compiler(expression, header, capacity).compile();
    const out = new Float64Array(capacity);
    const evaluate = (rows: RowBlock): Float64Array => {
      const values = root.fill(rows);
      for (let i = 0; i < rows.rows; i++) out[i] = Number.isFinite(values[i]!) ? values[i]! : NaN;
      return out;
    };
    return { series: { name, unit: unitText(root.unit), evaluate }, problems: [] };
  } catch (error) {
    if (!(error instanceof ExpressionError)) throw error;
    const message = `derived series '${name}': ${error.message}`;
    const range = rangeOf(error.from, error.to);
    return { series: undefined, problems: [{ range, severity: 'error', code: error.code, message }] };
  }
}

/**
 * Problems of all derived series of a header. `valueRange` tells where a series' expression stands in the header's text;
 * the place within it is exact where the expression is written on one line.
 */
export function derivedProblems(
  header: LogHeader,
  valueRange: (name: string) => TextRange | undefined,
): readonly Problem[] {
  return header.derived.flatMap((derived) => {
    const whole = valueRange(derived.name) ?? wholeLine(1);
    const length = whole.endColumn - whole.column;
    const quotes = (length - derived.expression.length) / 2;
    const exact = whole.line === whole.endLine && (quotes === 0 || quotes === 1);
    const rangeOf = (from: number, to: number): TextRange =>
      exact ? { ...whole, column: whole.column + quotes + from, endColumn: whole.column + quotes + to } : whole;
    return compileDerived(derived, header, rangeOf, 1).problems;
  });
}

class ExpressionError extends Error {
  readonly code: string;
  readonly from: number;
  readonly to: number;

  constructor(code: string, message: string, from: number, to: number) {
    super(message);
    this.code = code;
    this.from = from;
    this.to = to;
  }
}

interface Term {
  readonly unit: SpelledUnit;
  /** Set for a constant. */
  readonly constant?: number;
  fill(rows: RowBlock): Values;
}

const allowedFunctions = ['sqrt', ...[keeping, ofPlain, ofAngle, ofMany].flatMap((group) => Object.keys(group))];
const allowed = `allowed are numbers, column names, + - * / ^, brackets and ${allowedFunctions.join(', ')}`;

class Compiler {
  readonly #text: string;
  readonly #header: LogHeader;
  readonly #capacity: number;

  constructor(text: string, header: LogHeader, capacity: number) {
    this.#text = text;
    this.#header = header;
    this.#capacity = capacity;
  }

  compile(): Term {
    if (this.#text.trim() === '') throw this.#error('derived-syntax', `the expression is empty; ${allowed}`);
    if (this.#text.length > longestExpression) {
      throw this.#error('derived-too-long', `the expression is longer than ${longestExpression} characters`);
    }
    try {
      const root = this.#term(this.#parse());
      if (Number.isFinite(root.constant ?? 0)) return root;
      throw this.#error('derived-not-finite', `the expression is no finite number in any row; ${allowed}`);
    } catch (error) {
      // Hundreds of brackets or signs one in another exhaust the stack.
      if (!(error instanceof RangeError)) throw error;
      throw this.#error('derived-too-long', 'the expression is nested too deeply; split it into several series');
    }
  }

  #parse(): MathNode {
    try {
      return parseExpression(this.#text);
    } catch (error) {
      if (error instanceof RangeError) throw error;
      const at = Math.max(0, ((error as { char?: number }).char ?? 1) - 1);
      const reason = error instanceof Error ? error.message.replace(/ \(char \d+\)$/, '') : String(error);
      throw new ExpressionError('derived-syntax', `${reason}; ${allowed}`, at, at + 1);
    }
  }

  /** At the first place of `word`, a name whole; of the whole expression where it has none. */
  #error(code: string, message: string, word = ''): ExpressionError {
    const whole = /^\w+$/.test(word) ? `(?<![\\w.])${word}(?!\\w)` : escaped(word);
    const found = word === '' ? -1 : this.#text.search(new RegExp(whole));
    return found < 0
      ? new ExpressionError(code, message, 0, this.#text.length)
      : new ExpressionError(code, message, found, found + word.length);
  }

  #term(node: MathNode): Term {
    switch (node.type) {
      case 'ParenthesisNode':
        return this.#term((node as unknown as { content: MathNode }).content);
      case 'ConstantNode':
        return this.#constant((node as unknown as { value: unknown }).value);
      case 'SymbolNode':
        return this.#symbol((node as unknown as { name: string }).name);
      case 'OperatorNode':
        return this.#operator(node as unknown as { op: string; args: MathNode[]; isPercentage: boolean });
      case 'FunctionNode':
        return this.#call(node as unknown as { fn: { type: string; name?: string }; args: MathNode[] });
      default:
        throw this.#error('derived-forbidden', `'${node.toString()}' is not allowed here; ${allowed}`);
    }
  }

  #constant(value: unknown): Term {
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      throw this.#error('derived-forbidden', `'${String(value)}' is no finite number; ${allowed}`, String(value));
    }
    return this.#fixed(value, literal);
  }

  /** The same in every row; what is not finite becomes a gap at the end. */
  #fixed(value: number, unit: SpelledUnit): Term {
    const values = new Float64Array(this.#capacity).fill(value);
    return { unit, constant: value, fill: () => values };
  }

  #symbol(name: string): Term {
    const index = this.#header.columns.findIndex((column) => column.name === name);
    const column = this.#header.columns[index];
    if (!column) {
      const value = Object.hasOwn(constants, name) ? constants[name] : undefined;
      if (value !== undefined) return this.#fixed(value, literal);
      throw this.#error('derived-unknown-name', `no column is named '${name}'; ${allowed}`, name);
    }
    if (column.datatype === 'string' && index !== this.#header.roles.time) {
      throw this.#error('derived-forbidden', `column '${name}' holds text`, name);
    }
    // A textual time reaches the rows as seconds.
    const unit = index === this.#header.roles.time ? 's' : column.unit;
    return { unit: spelledUnit(unit), fill: (rows) => rows.columns[index]! };
  }

  #operator({ op, args, isPercentage }: { op: string; args: MathNode[]; isPercentage: boolean }): Term {
    const loop = Object.hasOwn(binary, op) && !isPercentage ? binary[op] : undefined;
    if (!loop || args.length > 2)
      throw this.#error('derived-forbidden', `operator '${op}' is not allowed; ${allowed}`, op);
    const [first, second] = args.map((node) => this.#term(node));
    if (!second) return op === '-' ? this.#each(first!, first!.unit, (x) => -x) : first!;
    return this.#joined(loop, first!, second, this.#unitOf(op, first!, second));
  }

  #unitOf(op: string, a: Term, b: Term): SpelledUnit {
    if (op === '*') return multiplied(a.unit, b.unit, 1);
    if (op === '/') return multiplied(a.unit, b.unit, -1);
    if (op === '^') return this.#powerUnit(a, b);
    return this.#sumUnit(a.unit, b.unit, op === '+' ? 1 : -1, op);
  }

  #powerUnit(a: Term, b: Term): SpelledUnit {
    if (!isPlain(b.unit)) throw this.#error('derived-unit-mismatch', 'an exponent must be a plain number');
    if (isPlain(a.unit)) return a.unit.bare && b.unit.bare ? literal : plainNumber;
    if (b.constant === undefined) {
      throw this.#error(
        'derived-unit-mismatch',
        `only a number may be the exponent of a quantity in ${unitText(a.unit)}`,
      );
    }
    return raised(a.unit, b.constant);
  }

  #sumUnit(a: SpelledUnit, b: SpelledUnit, sign: 1 | -1, of: string): SpelledUnit {
    const unit = added(a, b, sign);
    if (unit) return unit;
    const [left, right] = [a, b].map((u) => unitText(u) || 'a plain number');
    const message = `'${of}' joins ${left} and ${right}; both must have the same unit`;
    throw this.#error('derived-unit-mismatch', message, /^\w+$/.test(of) ? of : '');
  }

  #call({ fn, args }: { fn: { type: string; name?: string }; args: MathNode[] }): Term {
    const name = fn.type === 'SymbolNode' ? (fn.name ?? '') : '';
    if (!allowedFunctions.includes(name)) {
      throw this.#error('derived-forbidden', `function '${name || 'of this form'}' is not allowed; ${allowed}`, name);
    }
    const terms = args.map((node) => this.#term(node));
    if (Object.hasOwn(ofMany, name)) return this.#many(name, terms);
    const [x] = terms;
    if (!x || terms.length !== 1)
      throw this.#error('derived-syntax', `${name} takes one argument, not ${terms.length}`, name);
    if (name === 'sqrt') return this.#each(x, raised(x.unit, 0.5), Math.sqrt);
    if (Object.hasOwn(keeping, name)) return this.#each(x, x.unit, keeping[name]!);
    if (Object.hasOwn(ofAngle, name)) return this.#angle(name, x);
    if (!isPlain(x.unit)) {
      throw this.#error('derived-unit-mismatch', `${name} takes a plain number, not ${unitText(x.unit)}`, name);
    }
    return this.#each(x, plainNumber, ofPlain[name]!);
  }

  #angle(name: string, x: Term): Term {
    const of = ofAngle[name]!;
    const unit = unitText(x.unit);
    if (unit === 'deg') return this.#each(x, plainNumber, (angle) => of((angle * Math.PI) / 180));
    if (unit === '' || unit === 'rad') return this.#each(x, plainNumber, of);
    throw this.#error('derived-unit-mismatch', `${name} takes an angle, not ${unit}`, name);
  }

  #many(name: string, terms: readonly Term[]): Term {
    const { join, keeps } = ofMany[name]!;
    const [first, ...rest] = terms;
    if (!first || rest.length === 0 || (name === 'atan2' && rest.length > 1)) {
      throw this.#error('derived-syntax', `${name} takes ${name === 'atan2' ? 'two' : 'two or more'} arguments`, name);
    }
    const loop: Loop = (a, b, out, n) => {
      for (let i = 0; i < n; i++) out[i] = join(a[i]!, b[i]!);
    };
    const whole = rest.reduce((a, b) => this.#joined(loop, a, b, this.#sumUnit(a.unit, b.unit, 1, name)), first);
    return keeps ? whole : { unit: plainNumber, fill: whole.fill };
  }

  #each(x: Term, unit: SpelledUnit, of: (value: number) => number): Term {
    if (x.constant !== undefined) return this.#fixed(of(x.constant), unit);
    const out = new Float64Array(this.#capacity);
    const fill = (rows: RowBlock): Values => {
      const values = x.fill(rows);
      for (let i = 0; i < rows.rows; i++) out[i] = of(values[i]!);
      return out;
    };
    return { unit, fill };
  }

  #joined(loop: Loop, a: Term, b: Term, unit: SpelledUnit): Term {
    const out = new Float64Array(this.#capacity);
    if (a.constant !== undefined && b.constant !== undefined) {
      loop(Float64Array.of(a.constant), Float64Array.of(b.constant), out, 1);
      return this.#fixed(out[0]!, unit);
    }
    const fill = (rows: RowBlock): Values => {
      loop(a.fill(rows), b.fill(rows), out, rows.rows);
      return out;
    };
    return { unit, fill };
  }
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
}
