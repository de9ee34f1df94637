// Which channels read nothing that can be read, from the log's first row to the end of its datum window. The limits are
// taken off the head's scanner and applied here, where it is known which row and which channel they were broken in.
import type { Column, LogHeader } from '../header/logHeader.ts';
import { takeOut } from '../table/readingLimits.ts';
import type { ReadingLimit } from '../table/readingLimits.ts';
import type { RowBlock } from '../table/rowBlock.ts';

/** A channel of the header by its index, and the first reading it gave, in the file's unit. */
export interface Unreadable {
  readonly channel: number;
  readonly reading: number;
}

/** The header for the head's scanner: channels may read anything. */
export function withoutReadingLimits(header: LogHeader): LogHeader {
  const read = new Set(header.channels.map(({ column }) => column));
  const columns = header.columns.map((column, at): Column => {
    const { name, unit, datatype, toSiScale, toSiOffset } = column;
    return read.has(at) ? { name, unit, datatype, toSiScale, toSiOffset } : column;
  });
  return { ...header, columns };
}

export class HeadReadings {
  readonly #header: LogHeader;
  /** Of the channels that have one, in their order. */
  readonly #limits: readonly (ReadingLimit & { readonly channel: number })[];
  /** Per channel: when it first read something possible; Infinity until then. */
  readonly #possibleS: Float64Array;
  /** Per channel: when it first read something impossible, and what. */
  readonly #impossibleS: Float64Array;
  readonly #impossible: Float64Array;

  constructor(header: LogHeader) {
    this.#header = header;
    this.#limits = header.channels.flatMap(({ column }, channel) => {
      const { possible } = header.columns[column]!;
      return possible ? [{ column, possible, channel }] : [];
    });
    const count = header.channels.length;
    this.#possibleS = new Float64Array(count).fill(Infinity);
    this.#impossibleS = new Float64Array(count).fill(Infinity);
    this.#impossible = new Float64Array(count);
  }

  /** Rows in their order. What cannot be becomes missing in the block, as the scanner has it everywhere else. */
  take(block: RowBlock): void {
    const time = block.columns[this.#header.roles.time]!;
    takeOut(block, this.#limits, 0, block.rows, ({ channel }, row, reading) => {
      if (this.#impossibleS[channel] !== Infinity) return;
      this.#impossibleS[channel] = time[row]!;
      this.#impossible[channel] = reading;
    });
    for (const { channel, column } of this.#limits) {
      if (this.#possibleS[channel] !== Infinity) continue;
      const first = block.columns[column]!.subarray(0, block.rows).findIndex((reading) => !Number.isNaN(reading));
      if (first >= 0) this.#possibleS[channel] = time[first]!;
    }
  }

  /** Asked once all rows up to `toS` were taken; later ones change nothing. A channel that was silent is none of them. */
  unreadable(toS: number): Unreadable[] {
    return [...this.#impossible]
      .map((reading, channel) => ({ channel, reading }))
      .filter(({ channel }) => this.#impossibleS[channel]! <= toS && !(this.#possibleS[channel]! <= toS));
  }
}
