// Parsed rows in memory that scan threads share: a ring of slots, one byte range of the log each, and the counters that
// say who may parse, who may analyse, and when a slot is free again. Ranges are parsed in any order by any thread and
// analysed by every thread in file order, each for its own cells.
import type { RowBlock } from '../core/table/rowBlock.ts';

/** Places in the control array, before one `analysed` counter a thread. */
const place = { next: 0, tick: 1, stop: 2, analysed: 3 } as const;

/** Why threads stopped before the end; 0 while they go on. */
export const stopReason = { none: 0, cancelled: 1, unsplittable: 2 } as const;

export interface SharedRowsShape {
  readonly slots: number;
  readonly rowsPerSlot: number;
  readonly columns: number;
  readonly threads: number;
  readonly ranges: number;
}

/** Plain data that goes to each thread. */
export interface SharedRowsMemory {
  readonly shape: SharedRowsShape;
  readonly control: SharedArrayBuffer;
  readonly slots: readonly SharedArrayBuffer[];
}

/** Rows in a slot are relative: `lines` from 0 for the range's first line, `offsets` from the range's first byte. */
export interface Slot {
  readonly block: RowBlock;
  readonly lines: number;
  /** Offset in the file after the range's last whole line. */
  readonly endOffset: number;
  /** Its rows did not fit: whoever analyses it scans the range again. */
  readonly overflow: boolean;
}

interface SlotMemory {
  readonly block: RowBlock;
  /** [range it holds + 1, lines in the range, 1 where its rows did not fit, rows] */
  readonly about: Int32Array;
  readonly endOffset: Float64Array;
}

const slotHeadBytes = 24;

export function sharedRowsMemory(shape: SharedRowsShape): SharedRowsMemory {
  const control = new SharedArrayBuffer(4 * (place.analysed + shape.threads));
  const bytes = slotHeadBytes + 8 * (shape.columns + 2) * shape.rowsPerSlot;
  return { shape, control, slots: Array.from({ length: shape.slots }, () => new SharedArrayBuffer(bytes)) };
}

export class SharedRows {
  readonly shape: SharedRowsShape;
  readonly #control: Int32Array;
  readonly #slots: readonly SlotMemory[];

  constructor(memory: SharedRowsMemory) {
    this.shape = memory.shape;
    this.#control = new Int32Array(memory.control);
    this.#slots = memory.slots.map((buffer) => slotIn(buffer, memory.shape));
  }

  /** Where the rows of `range` go. */
  target(range: number): RowBlock {
    return this.#slot(range).block;
  }

  /** Claims the next range to parse; -1 where none is left, or no slot is free yet. */
  claim(): number {
    const { ranges, slots } = this.shape;
    for (;;) {
      const next = Atomics.load(this.#control, place.next);
      if (next >= ranges || next >= this.analysedByAll() + slots) return -1;
      if (Atomics.compareExchange(this.#control, place.next, next, next + 1) === next) return next;
    }
  }

  publish(range: number, rows: number, lines: number, endOffset: number): void {
    const slot = this.#slot(range);
    const { about } = slot;
    about[1] = lines;
    about[2] = rows > this.shape.rowsPerSlot ? 1 : 0;
    about[3] = rows;
    slot.endOffset[0] = endOffset;
    Atomics.store(about, 0, range + 1);
    this.#wake();
  }

  /** The slot of `range` with its rows, once it has been parsed. */
  ready(range: number): Slot | undefined {
    const { about, block, endOffset } = this.#slot(range);
    if (Atomics.load(about, 0) !== range + 1) return undefined;
    const overflow = about[2] === 1;
    block.rows = overflow ? 0 : about[3]!;
    return { block, lines: about[1]!, endOffset: endOffset[0]!, overflow };
  }

  setAnalysed(thread: number, ranges: number): void {
    Atomics.store(this.#control, place.analysed + thread, ranges);
    this.#wake();
  }

  analysedByAll(): number {
    let least = Infinity;
    for (let t = 0; t < this.shape.threads; t++) {
      least = Math.min(least, Atomics.load(this.#control, place.analysed + t));
    }
    return least;
  }

  stop(reason: number): void {
    Atomics.compareExchange(this.#control, place.stop, stopReason.none, reason);
    this.#wake();
  }

  get stopped(): number {
    return Atomics.load(this.#control, place.stop);
  }

  /** A number that changes whenever there may be something new to do. */
  get tick(): number {
    return Atomics.load(this.#control, place.tick);
  }

  /** Sleeps until the tick differs from `seen`. */
  wait(seen: number): void {
    Atomics.wait(this.#control, place.tick, seen, 1000);
  }

  #slot(range: number): SlotMemory {
    return this.#slots[range % this.#slots.length]!;
  }

  #wake(): void {
    Atomics.add(this.#control, place.tick, 1);
    Atomics.notify(this.#control, place.tick);
  }
}

function slotIn(buffer: SharedArrayBuffer, { columns, rowsPerSlot }: SharedRowsShape): SlotMemory {
  const about = new Int32Array(buffer, 0, 4);
  const endOffset = new Float64Array(buffer, 16, 1);
  const array = (index: number): Float64Array =>
    new Float64Array(buffer, slotHeadBytes + 8 * index * rowsPerSlot, rowsPerSlot);
  const block: RowBlock = {
    rows: 0,
    firstRow: 0,
    columns: Array.from({ length: columns }, (_, column) => array(column)),
    lines: array(columns),
    offsets: array(columns + 1),
  };
  return { block, about, endOffset };
}
