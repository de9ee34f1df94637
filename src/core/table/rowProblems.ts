// What can be wrong with the rows of a table, and the rule for each: the one place where the rules stand.
//
// | code              | severity    | rule                                                                          |
// | ----------------- | ----------- | ----------------------------------------------------------------------------- |
// | short-row         | error       | fewer fields than columns: the row is skipped                                 |
// | long-row          | error       | more fields than columns: the row is skipped                                  |
// | not-a-number      | error       | a field of a number column that is no decimal number: missing, the row kept   |
// | infinite-reading  | warning     | `inf`, or beyond the range of a double: missing, the row kept                 |
// | impossible-reading | warning    | what no sensor can read (header/possibleReadings.ts): missing, the row kept    |
// | bad-layer         | error       | a layer that is no whole number of 32 bits: missing, the row kept             |
// | bad-time          | error       | a time that cannot be read: the row is skipped                                |
// | unknown-phase     | warning     | a phase that is none of the known ones: missing, the row kept                 |
// | other-delimiter   | error       | `;` or tabs between numbers where the table has another sign: row skipped     |
// | decimal-comma     | error       | decimal commas in a table whose fields commas separate: row skipped            |
// | unclosed-quote    | error       | a quoted field still open after 64 KiB or at the end: its first line is       |
// |                   |             | skipped, reading goes on at the next line                                     |
// | line-too-long     | error       | a line above 16 MiB: skipped                                                  |
// | merge-conflict    | error       | a mark that a merge left between two sides: the line is skipped               |
// | binary-data       | error       | a zero byte in a line that breaks a rule above, or at the end: line skipped   |
// | unfinished-line   | information | a last line without its line break: not read                                  |
// | missing-time      | error       | no time in the row: skipped                                                   |
// | repeated-time     | warning     | the time of the row before: skipped                                           |
// | time-back         | error       | earlier than the last row kept: skipped                                       |
// | time-glitch       | error       | among at most four that are a minute ahead of both their neighbours: skipped  |
// | time-leap         | information | a step forward much longer than those before: kept                            |
// | layer-back        | warning     | a layer below the last one: kept                                              |
//
// Blank lines (nothing but spaces) and comment lines (the comment mark is the first thing in the line) are ignored.
// An empty field or `nan` in any case is a missing reading and no problem. Spaces around a number are ignored.
import type { Column } from '../header/logHeader.ts';
import { mergeRemedy } from '../mergeMark.ts';
import type { Problem, Severity, TextRange } from '../problem.ts';

export type RowProblemCode = keyof typeof rowProblemSeverity;

const rowProblemSeverity = {
  'other-delimiter': 'error',
  'decimal-comma': 'error',
  'short-row': 'error',
  'long-row': 'error',
  'not-a-number': 'error',
  'infinite-reading': 'warning',
  'impossible-reading': 'warning',
  'bad-layer': 'error',
  'bad-time': 'error',
  'unknown-phase': 'warning',
  'unclosed-quote': 'error',
  'line-too-long': 'error',
  'merge-conflict': 'error',
  'binary-data': 'error',
  'unfinished-line': 'information',
  'missing-time': 'error',
  'repeated-time': 'warning',
  'time-back': 'error',
  'time-glitch': 'error',
  'time-leap': 'information',
  'layer-back': 'warning',
} as const satisfies Record<string, Severity>;

/** Problems of one code that keep their own place; further ones are counted in one more. */
const placesPerCode = 100;

export function rowProblem(code: RowProblemCode, range: TextRange, message: string): Problem {
  return { range, severity: rowProblemSeverity[code], code, message };
}

/** The same problem `lines` further down: for scanners that began at a line whose number was not known yet. */
export function shiftProblem(problem: Problem, lines: number): Problem {
  const { range } = problem;
  return {
    ...problem,
    range: { ...range, line: range.line + lines, endLine: range.endLine + lines },
  };
}

interface Fold {
  code: string;
  kept: Problem[];
  /** The first problem beyond the kept ones; stands for all later ones. */
  tail: Problem | undefined;
  beyond: number;
}

/**
 * Keeps the first hundred problems of each code, in the order given, and counts the rest in one more (`folded`).
 * Folding pieces in order gives the same as folding the whole, so pieces may be scanned apart.
 */
export class ProblemFold {
  readonly #folds = new Map<string, Fold>();

  /** True when the problem was kept with its own place. */
  add(problem: Problem): boolean {
    const fold = this.#fold(problem.code);
    const folded = problem.folded ?? 0;
    if (fold.kept.length < placesPerCode && folded === 0) {
      fold.kept.push(problem);
      return true;
    }
    fold.tail ??= problem;
    fold.beyond += 1 + folded;
    return false;
  }

  /** Counts one more of a code without a place; only after `add` has returned false for that code. */
  count(code: string): void {
    this.#fold(code).beyond++;
  }

  /** True once a problem stands for all later ones of this code, so that `count` is enough. */
  isFull(code: string): boolean {
    return this.#folds.get(code)?.tail !== undefined;
  }

  /** Only those that stand for many. */
  tails(): Problem[] {
    const tails: Problem[] = [];
    for (const { tail, beyond } of this.#folds.values()) {
      if (tail) tails.push(beyond > 1 ? { ...tail, folded: beyond - 1 } : tail);
    }
    return tails;
  }

  /** All, ordered by line; at most 101 for each code. */
  problems(): Problem[] {
    const all = [...this.#folds.values()].flatMap((fold) => fold.kept);
    return [...all, ...this.tails()].sort(
      (a, b) => a.range.line - b.range.line || a.range.column - b.range.column || (a.code < b.code ? -1 : 1),
    );
  }

  /** How many there were, folded ones included. */
  get total(): number {
    let total = 0;
    for (const fold of this.#folds.values()) total += fold.kept.length + fold.beyond;
    return total;
  }

  save(): readonly Fold[] {
    return structuredCopy([...this.#folds.values()]);
  }

  restore(state: readonly Fold[]): void {
    this.#folds.clear();
    for (const fold of structuredCopy(state)) this.#folds.set(fold.code, fold);
  }

  #fold(code: string): Fold {
    let fold = this.#folds.get(code);
    if (!fold) {
      fold = { code, kept: [], tail: undefined, beyond: 0 };
      this.#folds.set(code, fold);
    }
    return fold;
  }
}

export type ProblemFoldState = ReturnType<ProblemFold['save']>;

function structuredCopy(folds: readonly Fold[]): Fold[] {
  return folds.map((fold) => ({ ...fold, kept: [...fold.kept] }));
}

/** Line and UTF-16 column (both from 1) of byte `at` in UTF-8 text whose line `line` begins at byte `start`. */
function placeOf(bytes: Uint8Array, start: number, at: number, line: number): { line: number; column: number } {
  let column = 1;
  for (let p = start; p < at; p++) {
    const byte = bytes[p]!;
    if (byte === 10) {
      line++;
      column = 1;
    } else if (byte < 0x80 || byte >= 0xc0) column += byte >= 0xf0 ? 2 : 1;
  }
  return { line, column };
}

/** The range of bytes [from, to) in text whose line `line` begins at byte `start`. */
export function rangeOf(bytes: Uint8Array, start: number, from: number, to: number, line: number): TextRange {
  const begin = placeOf(bytes, start, from, line);
  const end = placeOf(bytes, start, to, line);
  return { line: begin.line, column: begin.column, endLine: end.line, endColumn: end.column };
}

const longestShownText = 40;

/** The bytes as text for a message: shortened, control characters shown as such. */
export function shownText(bytes: Uint8Array, from: number, to: number): string {
  const text = new TextDecoder().decode(bytes.subarray(from, Math.min(to, from + 4 * longestShownText)));
  const clean = [...text].map((c) =>
    c < ' ' || c === '\u007f' ? `\\x${c.charCodeAt(0).toString(16).padStart(2, '0')}` : c,
  );
  return clean.length > longestShownText ? `${clean.slice(0, longestShownText).join('')}…` : clean.join('');
}

/** The message for one field; `name` is its column's, `asNumber` whether it is declared as a number. */
export function fieldMessage(code: RowProblemCode, name: string, text: string, asNumber = true): string {
  switch (code) {
    case 'infinite-reading':
      return `Column '${name}': '${text}' is no finite number; the reading counts as missing. Leave the field empty where there is no reading.`;
    case 'bad-time':
      return asNumber
        ? `Column '${name}': '${text}' is no time in numbers, as the column is read; the row is skipped. Write a decimal number, or declare the column with datatype: string where it holds stamps like 2026-03-02T18:04:00.25Z.`
        : `Column '${name}': '${text}' is no time stamp that can be read; the row is skipped. Write it like 2026-03-02T18:04:00.25Z.`;
    case 'unknown-phase':
      return `Column '${name}': '${text}' is no phase; it counts as missing. Write recoat, expose or dwell, or leave the field empty.`;
    default:
      return `Column '${name}': '${text}' is not a number; the reading counts as missing. Write a decimal number such as -12.5, or leave the field empty.`;
  }
}

/** The message for a reading outside what its column can hold. */
export function impossibleMessage(column: Pick<Column, 'name' | 'unit' | 'possible'>, text: string): string {
  const { name, possible } = column;
  if (possible?.whole) {
    const { above, below } = possible;
    return `Column '${name}': '${text}' is no layer; it counts as missing. Write a whole number from ${above + 1} to ${below - 1}, or leave the field empty.`;
  }
  return `Column '${name}': '${text}' is beyond what can be measured there (${possibleText(column)}); the reading counts as missing. Leave the field empty where there is no reading; where many are told, check the column's unit, and the channel's rest if it has one.`;
}

/** Between which limits a column's readings lie. */
export function possibleText({ unit, possible }: Pick<Column, 'unit' | 'possible'>): string {
  const [low, high] = [possible?.above, possible?.below].map((limit = NaN) => Number(limit.toPrecision(4)));
  return `${low} to ${high} ${unit}`.trim();
}

export const rowMessages = {
  decimalComma:
    "The numbers of this row have decimal commas, and commas separate its fields too; the row is skipped. Export the log with decimal points, or with semicolons between the fields and a companion '<log>.header.yaml' with table: {delimiter: ';', decimal: ','}.",
  short: (fields: number, columns: number): string =>
    `The row has ${fields} of ${columns} fields and is skipped. Write every field, empty where there is no reading.`,
  long: (fields: number, columns: number): string =>
    `The row has ${fields} fields for ${columns} columns and is skipped. Remove what is too much, or quote a text that holds the delimiter.`,
  otherDelimiter: (sign: string, delimiter: string): string => {
    const [found, own] = [sign, delimiter].map((text) => (text === '\t' ? 'tabs' : `'${text}'`));
    const written = sign === '\t' ? 'tab' : found;
    return `The numbers of this row are separated by ${found}, the table's fields by ${own}; the row is skipped. Write all rows alike; where all are so, leave them as they are and describe them in a companion '<log>.header.yaml' with table: {delimiter: ${written}, decimal: ','} (or '.').`;
  },
  unclosedQuote: `This quote is never closed; the line is skipped. Close it with a second quote, or write "" for a quote inside quoted text.`,
  tooLong: `The line is longer than 16 MiB and is skipped. Check that the file is a text table with line breaks (LF or CR LF).`,
  binary: `The line holds zero bytes, so it is not text, and is skipped. The file was probably cut off while it was written: copy it again from where it was recorded.`,
  merge: `${mergeRemedy}; the line is skipped, and the rows around it may stand twice.`,
  unfinished: (bytes: number): string =>
    `The last line has no line break yet (${bytes} bytes) and is not read. If the log is complete, end it with a line break.`,
};
