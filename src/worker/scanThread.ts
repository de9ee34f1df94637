// One thread of a parallel scan (Node worker thread). It parses byte ranges into shared slots as they are free, and
// analyses every range in file order for its own cells; every thread gates all rows itself, so no state is shared.
import { parentPort } from 'node:worker_threads';
import type { CellFinding } from '../core/change/findings.ts';
import { CellWork } from '../core/pipeline/cellWork.ts';
import { createGate, createIndex } from '../core/table/tableScanner.ts';
import type { LineIndex } from '../core/table/lineIndex.ts';
import { mostHeldRows } from '../core/table/rowBlock.ts';
import type { RowBlock } from '../core/table/rowBlock.ts';
import type { RowGate, RowGateState } from '../core/table/rowGate.ts';
import { wordsOf } from '../core/problem.ts';
import type { FromScan, ScanTask } from '../messages/scan.ts';
import { giveWay } from './giveWay.ts';
import { RangeScan } from './rangeScan.ts';
import { SharedRows, stopReason } from './sharedRows.ts';
import type { SharedRowsMemory } from './sharedRows.ts';

/** Findings are told at least this often, in ranges. */
const rangesPerReport = 4;

class ScanThread {
  readonly #task: ScanTask<SharedRowsMemory>;
  readonly #post: (message: FromScan) => void;
  readonly #shared: SharedRows;
  readonly #scan: RangeScan;
  readonly #gate: RowGate;
  readonly #index: LineIndex | undefined;
  readonly #work: CellWork;
  readonly #own: RowBlock;
  /** Stands for all columns that this thread does not read: the gate may move values about in it, all of them NaN. */
  readonly #unread: Float64Array;
  #line: number;
  #endOffset: number;
  #analysed = 0;
  #last = { row: -1, timeS: NaN, layer: -1 };
  #findings: CellFinding[] = [];
  #lineBases: number[] = [];

  constructor(task: ScanTask<SharedRowsMemory>, post: (message: FromScan) => void) {
    const { header, layouts, context } = task.basis;
    this.#task = task;
    this.#post = post;
    this.#shared = new SharedRows(task.memory);
    this.#scan = new RangeScan(task.descriptor, header, task.start.offset, task.size, task.rangeBytes);
    this.#gate = createGate(header);
    if (task.thread === 0) {
      this.#index = createIndex(header);
      if (task.index) this.#index.restore(task.index);
    }
    const capacity = task.memory.shape.rowsPerSlot + mostHeldRows;
    const { share, bucketRows, part } = task;
    this.#work = new CellWork({ header, layouts, context, share, capacity, bucketRows, part }, task.work);
    this.#unread = new Float64Array(capacity).fill(NaN);
    this.#own = ownBlock(task, capacity, this.#unread);
    if (task.gate) this.#gate.restore(ownGate(task.gate, this.#own, this.#unread));
    this.#line = task.start.line;
    this.#endOffset = task.start.offset;
  }

  run(): void {
    const shared = this.#shared;
    while (this.#analysed < shared.shape.ranges) {
      const seen = shared.tick;
      if (shared.stopped !== stopReason.none) {
        this.#post({ type: 'stopped', reason: shared.stopped });
        return;
      }
      if (this.#analyseNext()) continue;
      const range = shared.claim();
      if (range >= 0) this.#parse(range);
      else if (shared.tick === seen) shared.wait(seen);
    }
    this.#report();
    this.#post({
      type: 'done',
      thread: this.#task.thread,
      work: this.#work.handOver(),
      gate: this.#gate.save(),
      index: this.#index?.save(),
      endLine: this.#line,
      endOffset: this.#endOffset,
    });
  }

  #parse(range: number): void {
    const block = this.#shared.target(range);
    const room = this.#shared.shape.rowsPerSlot;
    let rows = 0;
    const result = this.#scan.scan(range, (scanned) => {
      if (rows + scanned.rows <= room) copyRows(scanned, block, rows);
      rows += scanned.rows;
    });
    if (!result) {
      this.#shared.stop(stopReason.unsplittable);
      return;
    }
    if (result.problems.length > 0) this.#post({ type: 'parsed', range, problems: result.problems });
    this.#shared.publish(range, rows, result.lines, result.endOffset);
  }

  /** Analyses the next range in file order, if it has been parsed. */
  #analyseNext(): boolean {
    const range = this.#analysed;
    const slot = this.#shared.ready(range);
    if (!slot) return false;
    this.#lineBases.push(this.#line);
    if (slot.overflow) this.#scan.scan(range, (block) => this.#accept(block));
    else this.#accept(slot.block);
    this.#line += slot.lines;
    this.#endOffset = slot.endOffset;
    this.#analysed++;
    this.#shared.setAnalysed(this.#task.thread, this.#analysed);
    if (this.#analysed % rangesPerReport === 0) this.#report();
    return true;
  }

  /** Takes rows of the range at hand into this thread's own block, as the gate changes what it is given. */
  #accept(rows: RowBlock): void {
    const own = this.#own;
    const capacity = this.#task.memory.shape.rowsPerSlot;
    for (let from = 0; from < rows.rows; from += capacity) {
      const count = Math.min(capacity, rows.rows - from);
      own.columns.forEach((column, c) => {
        if (column !== this.#unread) column.set(rows.columns[c]!.subarray(from, from + count));
      });
      own.offsets.set(rows.offsets.subarray(from, from + count));
      for (let row = 0; row < count; row++) own.lines[row] = rows.lines[from + row]! + this.#line;
      own.rows = count;
      this.#gate.accept(own);
      this.#analyse(own);
    }
  }

  #analyse(block: RowBlock): void {
    if (block.rows === 0) return;
    if (this.#index) {
      this.#index.originS = this.#gate.originS;
      this.#index.add(block);
    }
    this.#work.push(block);
    this.#findings.push(...this.#work.take());
    const { time, layer } = this.#task.basis.header.roles;
    const last = block.rows - 1;
    this.#last = {
      row: block.firstRow + last,
      timeS: block.columns[time]![last]!,
      layer: layer < 0 ? -1 : block.columns[layer]![last]!,
    };
  }

  #report(): void {
    this.#post({
      type: 'analysed',
      thread: this.#task.thread,
      ranges: this.#analysed,
      ...this.#last,
      findings: this.#findings,
      lineBases: this.#lineBases,
    });
    this.#findings = [];
    this.#lineBases = [];
  }
}

/** A block with arrays only for the columns that this thread's cells, or the order of rows, need; `unread` for all others. */
function ownBlock(task: ScanTask<SharedRowsMemory>, capacity: number, unread: Float64Array): RowBlock {
  const { header, layouts } = task.basis;
  const needed = new Set<number>([...Object.values(header.roles), ...task.share.plateColumns]);
  for (const cell of task.share.cells) {
    header.channels.forEach((channel) => channel.cell === cell && needed.add(channel.column));
    const temperature = header.channels[layouts[cell]!.temperatureChannel];
    if (temperature) needed.add(temperature.column);
  }
  // Cells may take their temperature from a channel of the plate.
  header.channels.forEach((channel) => channel.cell < 0 && needed.add(channel.column));
  return {
    rows: 0,
    firstRow: 0,
    columns: header.columns.map((_, column) => (needed.has(column) ? new Float64Array(capacity) : unread)),
    lines: new Float64Array(capacity),
    offsets: new Float64Array(capacity),
  };
}

/** The gate's state without what rows held back have in columns that this thread does not read. */
function ownGate(gate: RowGateState, own: RowBlock, unread: Float64Array): RowGateState {
  const held = gate.held.map((row) => ({
    ...row,
    values: row.values.map((value, c) => (own.columns[c] === unread ? NaN : value)),
  }));
  return { ...gate, held };
}

function copyRows(from: RowBlock, to: RowBlock, at: number): void {
  from.columns.forEach((column, c) => to.columns[c]!.set(column.subarray(0, from.rows), at));
  to.lines.set(from.lines.subarray(0, from.rows), at);
  to.offsets.set(from.offsets.subarray(0, from.rows), at);
}

const port = parentPort!;

// One task, then the thread ends.
port.once('message', (task: ScanTask<SharedRowsMemory>) => {
  if (task.part === 'find') giveWay();
  try {
    new ScanThread(task, (message) => port.postMessage(message, memoryOf(message))).run();
  } catch (error) {
    new SharedRows(task.memory).stop(stopReason.cancelled);
    port.postMessage({ type: 'failed', message: wordsOf(error) } as FromScan);
  }
});

/** The memory of the last message's arrays, which is handed over: to copy it would be to have it three times at once. */
function memoryOf(message: FromScan): ArrayBuffer[] {
  const found = new Set<ArrayBuffer>();
  const look = (value: unknown): void => {
    if (ArrayBuffer.isView(value)) {
      if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
    } else if (value !== null && typeof value === 'object') Object.values(value).forEach(look);
  };
  if (message.type === 'done') look(message.work);
  return [...found];
}
