// A whole log file by several threads: each parses byte ranges and analyses its share of the cells; this coordinator
// joins what they find, in file order, and runs the plate stage. The result is the state of a session that read the file
// alone, bit by bit the same for any number of threads. Node only.
import type { Worker } from 'node:worker_threads';
import type { StrainEvent } from '../core/change/events.ts';
import type { CellFinding } from '../core/change/findings.ts';
import { PlateStage } from '../core/change/plate/plateStage.ts';
import { sharesOf } from '../core/pipeline/cellWork.ts';
import type { CellShare, CellWorkState, WorkPart } from '../core/pipeline/cellWork.ts';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import { dealCells } from '../core/pipeline/workShare.ts';
import { bucketRowsOf } from '../core/session.ts';
import type { SessionState } from '../core/session.ts';
import type { Problem } from '../core/problem.ts';
import type { RowGateState } from '../core/table/rowGate.ts';
import { ProblemFold, shiftProblem } from '../core/table/rowProblems.ts';
import type { FromScan, ScanTask } from '../messages/scan.ts';
import { sharedRowsMemory, SharedRows, stopReason } from './sharedRows.ts';
import type { SharedRowsMemory } from './sharedRows.ts';
import { WaitingThreads } from './waitingThreads.ts';

/** Bytes of a range: what is parsed of it stays in the second-level cache until it is analysed, and the slots stay small. */
const rangeBytes = 256 * 1024;
/** Below this the threads' start costs more than they save. */
export const leastParallelBytes = 12 * 1024 * 1024;

export interface ScanPlan {
  /** File descriptor of the log, which must stay open meanwhile. */
  readonly descriptor: number;
  readonly size: number;
  readonly basis: LogBasis;
  readonly threads: number;
  readonly pyramid: boolean;
  readonly part: WorkPart;
  readonly signal: AbortSignal;
  /** Told now and then how far the analysis is. */
  onProgress(bytes: number, rows: number, events: readonly StrainEvent[]): void;
  /** The state of an earlier reading to go on from. */
  readonly from?: SessionState | undefined;
  /** Threads that wait already; started when needed where left out. */
  readonly waiting?: WaitingThreads;
  /** For tests; bytes of a range. */
  readonly rangeBytes?: number;
}

type Analysed = Extract<FromScan, { type: 'analysed' }>;
type Done = Extract<FromScan, { type: 'done' }>;

/** Undefined where the file cannot be cut into ranges (quotes, a line too long): scan it in one thread then. */
export async function parallelScan(plan: ScanPlan): Promise<SessionState | undefined> {
  const { basis, from } = plan;
  const shares = from?.shares ?? sharesOf(basis.header, dealCells(basis.layouts, plan.threads));
  const bucketRows = from?.bucketRows ?? (plan.pyramid ? bucketRowsOf(basis, shares) : 0);
  const start = from ? from.flow : { offset: basis.bodyOffset, line: basis.bodyLine };
  const bytes = plan.rangeBytes ?? rangeBytes;
  const memory = sharedRowsMemory({
    slots: shares.length + 2,
    rowsPerSlot: Math.ceil((1.25 * bytes) / basis.bytesPerRow) + 16,
    columns: basis.header.columns.length,
    threads: shares.length,
    ranges: Math.ceil(Math.max(0, plan.size - start.offset) / bytes),
  });
  const joined = new JoinedScan(plan, shares, bucketRows);
  const tasks = shares.map((share, thread): ScanTask<SharedRowsMemory> => ({
    descriptor: plan.descriptor,
    basis,
    start: { offset: start.offset, line: start.line },
    size: plan.size,
    rangeBytes: bytes,
    memory,
    thread,
    share,
    bucketRows,
    part: plan.part,
    gate: from?.flow.gate,
    index: from?.flow.index,
    work: from?.works[thread],
  }));
  const waiting = plan.waiting ?? new WaitingThreads();
  const abort = (): void => new SharedRows(memory).stop(stopReason.cancelled);
  plan.signal.addEventListener('abort', abort);
  try {
    const running = tasks.map((task) => runThread(waiting.take(), task, joined));
    // Without one of them the others would wait for it, the log's file held open: they end before the failure is told.
    for (const thread of running) thread.catch(abort);
    await Promise.allSettled(running);
    const outcomes = await Promise.all(running);
    if (outcomes.some((reason) => reason === stopReason.unsplittable)) return undefined;
    plan.signal.throwIfAborted();
    return joined.state();
  } finally {
    plan.signal.removeEventListener('abort', abort);
  }
}

function runThread(thread: Worker, task: ScanTask<SharedRowsMemory>, joined: JoinedScan): Promise<number> {
  return new Promise((resolve, reject) => {
    let outcome: number | undefined;
    thread.on('message', (message: FromScan) => {
      if (message.type === 'failed') reject(new Error(message.message));
      else if (message.type === 'stopped') outcome = message.reason;
      else joined.receive(message);
      if (message.type === 'done') outcome = stopReason.none;
    });
    thread.on('error', reject);
    thread.on('exit', () => {
      if (outcome === undefined) reject(new Error('a thread ended before it had read its part; read the log again'));
      else resolve(outcome);
    });
    thread.postMessage(task);
  });
}

/** Puts together what the threads tell. */
class JoinedScan {
  readonly #plan: ScanPlan;
  readonly #shares: readonly CellShare[];
  readonly #bucketRows: number;
  readonly #stage: PlateStage;
  readonly #fold = new ProblemFold();
  readonly #parsed = new Map<number, readonly Problem[]>();
  readonly #lineBases: number[] = [];
  readonly #latest: (Analysed | undefined)[];
  readonly #done: (Done | undefined)[];
  #waiting: CellFinding[] = [];
  #advancedTo = -1;

  constructor(plan: ScanPlan, shares: readonly CellShare[], bucketRows: number) {
    const { header, layouts } = plan.basis;
    this.#plan = plan;
    this.#shares = shares;
    this.#bucketRows = bucketRows;
    this.#stage = plan.from ? PlateStage.restore(header, layouts, plan.from.stage) : new PlateStage(header, layouts);
    if (plan.from) this.#fold.restore(plan.from.flow.problems);
    this.#latest = shares.map(() => undefined);
    this.#done = shares.map(() => undefined);
  }

  receive(message: Exclude<FromScan, { type: 'stopped' } | { type: 'failed' }>): void {
    if (message.type === 'parsed') this.#parsed.set(message.range, message.problems);
    else if (message.type === 'done') this.#done[message.thread] = message;
    else this.#advance(message);
  }

  #advance(message: Analysed): void {
    this.#latest[message.thread] = message;
    this.#waiting.push(...message.findings);
    if (message.thread === 0) this.#lineBases.push(...message.lineBases);
    if (this.#latest.some((one) => !one)) return;
    const slowest = this.#latest.reduce((least, one) => (one!.row < least!.row ? one : least))!;
    if (slowest.row <= this.#advancedTo) return;
    this.#advancedTo = slowest.row;
    const known = this.#waiting.filter((finding) => finding.knownRow <= slowest.row);
    this.#waiting = this.#waiting.filter((finding) => finding.knownRow > slowest.row);
    this.#stage.push(known.sort((a, b) => a.knownRow - b.knownRow || a.cell - b.cell));
    this.#stage.advance(slowest.row);
    const bytes = slowest.ranges * (this.#plan.rangeBytes ?? rangeBytes);
    this.#plan.onProgress(bytes, slowest.row + 1, this.#stage.events());
  }

  /** The rows that the gates hold back: each thread has the values of the columns that it reads, NaN for the others. */
  #heldRows(): RowGateState['held'] {
    const [first, ...others] = this.#done.map((done) => done!.gate.held);
    return first!.map((held, row) => ({
      ...held,
      values: held.values.map((value, c) =>
        Number.isNaN(value)
          ? (others.find((rows) => !Number.isNaN(rows[row]!.values[c]))?.[row]!.values[c] ?? NaN)
          : value,
      ),
    }));
  }

  state(): SessionState {
    const first = this.#done[0]!;
    // In file order, so that the same ones keep their places whoever found them. Only now: a thread's messages may
    // come later than another's that build on them.
    this.#lineBases.forEach((line, range) => {
      for (const problem of this.#parsed.get(range) ?? []) this.#fold.add(shiftProblem(problem, line));
    });
    const works: CellWorkState[] = this.#done.map((done) => done!.work);
    return {
      flow: {
        line: first.endLine,
        offset: first.endOffset,
        gate: { ...first.gate, held: this.#heldRows() },
        index: first.index!,
        problems: this.#fold.save(),
      },
      shares: this.#shares,
      works,
      stage: this.#stage.save(),
      bucketRows: this.#bucketRows,
    };
  }
}
