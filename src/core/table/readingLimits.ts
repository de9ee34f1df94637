// Takes readings out that their columns cannot hold: a fill value, a slip of the logger, a wrong unit. One such number
// let into running sums would spoil all that follows. A quick look over whole columns finds that most rows have none.
import type { Column, PossibleReadings } from '../header/logHeader.ts';
import type { TextRange } from '../problem.ts';
import type { FieldReader } from './fieldReader.ts';
import type { RowBlock } from './rowBlock.ts';
import { impossibleMessage, rangeOf, shownText } from './rowProblems.ts';
import type { RowProblemCode } from './rowProblems.ts';

type LimitedColumn = Pick<Column, 'name' | 'unit' | 'possible'>;

/** Of a column, by its index in the block. */
export interface ReadingLimit {
  readonly column: number;
  readonly possible: PossibleReadings;
}

/** The bytes being scanned: `base` is the file offset of byte 0, bytes[end - 1] a line break. */
export interface ScannedBytes {
  readonly bytes: Uint8Array;
  readonly base: number;
  readonly end: number;
}

export interface LimitOptions {
  readonly columns: readonly LimitedColumn[];
  readonly delimiterBytes: number;
  readonly fields: FieldReader;
  /** `describe` is called only while the place is kept. */
  readonly tell: (code: RowProblemCode, describe: () => [TextRange, string]) => void;
}

export class ReadingLimits {
  readonly #options: LimitOptions;
  /** Only of the columns that have one, in their order. */
  readonly #limits: readonly ReadingLimit[];

  constructor(options: LimitOptions) {
    this.#options = options;
    this.#limits = options.columns.flatMap(({ possible }, column) => (possible ? [{ column, possible }] : []));
  }

  /** Rows [from, to) of the block; their records must lie in the scanned bytes. */
  apply(block: RowBlock, from: number, to: number, scanned: ScannedBytes): void {
    takeOut(block, this.#limits, from, to, ({ column, possible }, row) => {
      this.#options.tell(possible.whole ? 'bad-layer' : 'impossible-reading', () =>
        this.#describe(block, row, column, scanned),
      );
    });
  }

  #describe(block: RowBlock, row: number, column: number, { bytes, base, end }: ScannedBytes): [TextRange, string] {
    const { fields, delimiterBytes, columns } = this.#options;
    const start = block.offsets[row]! - base;
    let from = start;
    let to = fields.skip(bytes, from, end, true);
    for (let c = 0; c < column; c++) {
      from = to + delimiterBytes;
      to = fields.skip(bytes, from, end, true);
    }
    fields.reset();
    const text = shownText(bytes, from, to).replace(/^"|"$/g, '').trim();
    return [rangeOf(bytes, start, from, to, block.lines[row]!), impossibleMessage(columns[column]!, text)];
  }
}

/** Makes what cannot be a reading of rows [from, to) missing, and tells of each what it was. */
export function takeOut<L extends ReadingLimit>(
  block: RowBlock,
  limits: readonly L[],
  from: number,
  to: number,
  told: (limit: L, row: number, reading: number) => void,
): void {
  if (!limits.some(({ column, possible }) => isBroken(block.columns[column]!, possible, from, to))) return;
  // Row by row, so that which problems keep their places does not depend on the chunks.
  for (let row = from; row < to; row++) {
    for (const limit of limits) {
      const values = block.columns[limit.column]!;
      const reading = values[row]!;
      if (isPossible(reading, limit.possible)) continue;
      values[row] = NaN;
      told(limit, row, reading);
    }
  }
}

/** NaN is a missing reading and breaks nothing. */
function isPossible(value: number, { above, below, whole }: PossibleReadings): boolean {
  return !(value <= above || value >= below || (whole && value - Math.floor(value) > 0));
}

function isBroken(values: Float64Array, { above, below, whole }: PossibleReadings, from: number, to: number): boolean {
  for (let row = from; row < to; row++) {
    const value = values[row]!;
    if (value <= above || value >= below) return true;
  }
  return whole && anyBetweenWholes(values, from, to);
}

function anyBetweenWholes(values: Float64Array, from: number, to: number): boolean {
  for (let row = from; row < to; row++) if (values[row]! - Math.floor(values[row]!) > 0) return true;
  return false;
}
