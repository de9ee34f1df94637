// A sparse index of the accepted rows: of every 64th its byte offset, line, time and layer, and of every layer its first
// row. About 0.5 byte a row, so that any row of a log of any size is found again by reading a few kilobytes.
import type { RowBlock } from './rowBlock.ts';

/** Rows from one entry to the next. */
export const rowsPerEntry = 64;

/** A layer column that is nothing but noise must not fill the memory; starts beyond this many are not kept. */
const mostLayerStarts = 1_000_000;

export interface IndexEntry {
  readonly row: number;
  /** Byte offset of the row's line. */
  readonly offset: number;
  readonly line: number;
  readonly timeS: number;
  /** NaN where the log has no layers. */
  readonly layer: number;
}

export interface LayerStart {
  readonly layer: number;
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
}

/** Plain data. Entries are [offset, line, timeS, layer], layer starts [layer, row, line, timeS]. */
export interface LineIndexState {
  rows: number;
  lastLine: number;
  lastTimeS: number;
  lastLayer: number;
  originS: number;
  entries: Float64Array;
  layers: Float64Array;
}

export interface LineIndexOptions {
  readonly timeColumn: number;
  /** -1 or left out where the log has no layers. */
  readonly layerColumn?: number;
}

const width = 4;

export class LineIndex {
  readonly #timeColumn: number;
  readonly #layerColumn: number;
  #entries = new Float64Array(64 * width);
  #entryCount = 0;
  #layers = new Float64Array(16 * width);
  #layerCount = 0;
  #rows = 0;
  #lastLine = 0;
  #lastTimeS = NaN;
  #lastLayer = NaN;
  /** Seconds since 1970 of time zero (RowGate.originS); needed to read rows again. */
  originS = 0;

  constructor(options: LineIndexOptions) {
    this.#timeColumn = options.timeColumn;
    this.#layerColumn = options.layerColumn ?? -1;
  }

  /** Rows indexed so far. */
  get rows(): number {
    return this.#rows;
  }

  get entryCount(): number {
    return this.#entryCount;
  }

  /** Line and time of the last row; 0 and NaN before the first. */
  get last(): { readonly line: number; readonly timeS: number } {
    return { line: this.#lastLine, timeS: this.#lastTimeS };
  }

  /** Takes in the next block that the gate has let through. Blocks come in order. */
  add(block: RowBlock): void {
    if (block.rows === 0) return;
    if (block.firstRow !== this.#rows) throw new RangeError(`block: got row ${block.firstRow}, expected ${this.#rows}`);
    const time = block.columns[this.#timeColumn]!;
    const layer = this.#layerColumn < 0 ? undefined : block.columns[this.#layerColumn]!;
    for (let row = (rowsPerEntry - (this.#rows % rowsPerEntry)) % rowsPerEntry; row < block.rows; row += rowsPerEntry) {
      this.#entries = withRoom(this.#entries, this.#entryCount);
      this.#entries.set(
        [block.offsets[row]!, block.lines[row]!, time[row]!, layer ? layer[row]! : NaN],
        width * this.#entryCount++,
      );
    }
    if (layer) this.#addLayers(block, time, layer);
    this.#rows += block.rows;
    this.#lastLine = block.lines[block.rows - 1]!;
    this.#lastTimeS = time[block.rows - 1]!;
  }

  entry(index: number): IndexEntry {
    if (!(index >= 0 && index < this.#entryCount)) throw new RangeError(`entry: got ${index} of ${this.#entryCount}`);
    const [offset, line, timeS, layer] = this.#entries.subarray(width * index, width * index + width);
    return { row: index * rowsPerEntry, offset: offset!, line: line!, timeS: timeS!, layer: layer! };
  }

  /** The entry at or before `row`; undefined when there are no rows. */
  entryBefore(row: number): IndexEntry | undefined {
    if (this.#entryCount === 0) return undefined;
    return this.entry(Math.max(0, Math.min(this.#entryCount - 1, Math.floor(row / rowsPerEntry))));
  }

  /** The last entry whose line is at or before `line`; the first one when there is none. */
  entryBeforeLine(line: number): IndexEntry | undefined {
    return this.#entryCount === 0 ? undefined : this.entry(Math.max(0, this.#countUpTo(1, line) - 1));
  }

  /** The last entry whose time is at or before `timeS`; the first one when there is none. */
  entryBeforeTime(timeS: number): IndexEntry | undefined {
    return this.#entryCount === 0 ? undefined : this.entry(Math.max(0, this.#countUpTo(2, timeS) - 1));
  }

  /** How many runs of equal layers there are. */
  get layerCount(): number {
    return this.#layerCount;
  }

  /** The first row of each run of equal layers, in the order of rows. */
  get layerStarts(): LayerStart[] {
    return Array.from({ length: this.#layerCount }, (_, i) => this.#layerStart(i));
  }

  /** The layer start at or before `row`; undefined where there is none. */
  layerAtRow(row: number): LayerStart | undefined {
    let low = 0;
    let high = this.#layerCount;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#layers[width * middle + 1]! <= row) low = middle + 1;
      else high = middle;
    }
    return low === 0 ? undefined : this.#layerStart(low - 1);
  }

  save(): LineIndexState {
    return {
      rows: this.#rows,
      lastLine: this.#lastLine,
      lastTimeS: this.#lastTimeS,
      lastLayer: this.#lastLayer,
      originS: this.originS,
      entries: this.#entries.slice(0, width * this.#entryCount),
      layers: this.#layers.slice(0, width * this.#layerCount),
    };
  }

  restore(state: LineIndexState): void {
    this.#rows = state.rows;
    this.#lastLine = state.lastLine;
    this.#lastTimeS = state.lastTimeS;
    this.#lastLayer = state.lastLayer;
    this.originS = state.originS;
    this.#entries = Float64Array.from(state.entries);
    this.#entryCount = state.entries.length / width;
    this.#layers = Float64Array.from(state.layers);
    this.#layerCount = state.layers.length / width;
  }

  #addLayers(block: RowBlock, time: Float64Array, layer: Float64Array): void {
    for (let row = 0; row < block.rows; row++) {
      const value = layer[row]!;
      if (value === this.#lastLayer || Number.isNaN(value)) continue;
      this.#pushLayer(value, this.#rows + row, block.lines[row]!, time[row]!);
    }
  }

  #pushLayer(layer: number, row: number, line: number, timeS: number): void {
    if (this.#layerCount === mostLayerStarts) return;
    this.#layers = withRoom(this.#layers, this.#layerCount);
    this.#layers.set([layer, row, line, timeS], width * this.#layerCount++);
    this.#lastLayer = layer;
  }

  #layerStart(index: number): LayerStart {
    const [layer, row, line, timeS] = this.#layers.subarray(width * index, width * index + width);
    return { layer: layer!, row: row!, line: line!, timeS: timeS! };
  }

  /** How many entries have a value at most `limit` in the given place; lines and times never go down. */
  #countUpTo(place: number, limit: number): number {
    let low = 0;
    let high = this.#entryCount;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#entries[width * middle + place]! <= limit) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

function withRoom(array: Float64Array<ArrayBuffer>, count: number): Float64Array<ArrayBuffer> {
  if (width * (count + 1) <= array.length) return array;
  const larger = new Float64Array(2 * array.length + width);
  larger.set(array);
  return larger;
}
