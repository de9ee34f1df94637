// The one pipeline: bytes of a strain log in, in any chunks; events, problems, line index and display pyramid out, at any
// moment. Used by the editor's worker, the command, followed logs and tests. Nothing is judged until the datum window has
// closed, since the zero of strain must be known first; the bytes until then are held and replayed.
// What it says of a row never changes with later rows, save that an event's onset and kind are refined.
import type { StrainEvent } from './change/events.ts';
import { PlateStage } from './change/plate/plateStage.ts';
import type { PlateStageState } from './change/plate/plateStage.ts';
import { bucketRowsFor } from './display/pyramid/pyramid.ts';
import type { SeriesLevels } from './display/pyramid/pyramidLevels.ts';
import type { ParsedHeader } from './header/parseHeader.ts';
import { CellWork, pyramidSeries, sharesOf } from './pipeline/cellWork.ts';
import type { CellShare, CellWorkState, WorkPart } from './pipeline/cellWork.ts';
import { LogHead } from './pipeline/logHead.ts';
import type { HeadOptions, HeadResult, LogBasis } from './pipeline/logHead.ts';
import { RowFlow } from './pipeline/rowFlow.ts';
import type { RowFlowState } from './pipeline/rowFlow.ts';
import { dealCells } from './pipeline/workShare.ts';
import type { Problem } from './problem.ts';
import type { LineIndex } from './table/lineIndex.ts';
import type { RowBlock } from './table/rowBlock.ts';
import { blockCapacityFor } from './table/rowBlock.ts';

export interface SessionOptions extends HeadOptions {
  /** False where nothing is drawn: saves the pyramid. Default true. */
  readonly pyramid?: boolean;
  /** Default `all`. A session that only draws finds nothing. */
  readonly part?: WorkPart;
  /** Told every accepted block, after the analysis has seen it; the block is reused. */
  readonly onBlock?: (block: RowBlock) => void;
}

/** Plain data: everything needed to go on after the last whole line read. */
export interface SessionState {
  readonly flow: RowFlowState;
  readonly shares: readonly CellShare[];
  readonly works: readonly CellWorkState[];
  readonly stage: PlateStageState;
  readonly bucketRows: number;
}

interface Running {
  readonly basis: LogBasis;
  readonly flow: RowFlow;
  readonly shares: readonly CellShare[];
  readonly works: readonly CellWork[];
  readonly stage: PlateStage;
  readonly bucketRows: number;
}

export class Session {
  readonly #options: SessionOptions;
  readonly #head: LogHead;
  #result: HeadResult | undefined;
  #running: Running | undefined;

  constructor(options: SessionOptions) {
    this.#options = options;
    this.#head = new LogHead(options);
  }

  /** A session that has read what `state` tells of; `head` is the log's own. */
  static resume(options: SessionOptions, head: HeadResult, state?: SessionState): Session {
    const session = new Session(options);
    session.#begin(head, state);
    return session;
  }

  push(bytes: Uint8Array): void {
    if (this.#running) this.#running.flow.push(bytes);
    else if (!this.#result) this.#replay(this.#head.push(bytes));
  }

  /** Judges all whole lines pushed so far: for a log that is still growing. */
  flush(): void {
    this.#running?.flow.flush();
  }

  /** The log has ended. */
  finish(): void {
    if (!this.#result) this.#replay(this.#head.finish());
    const running = this.#running;
    if (!running) return;
    running.flow.finish();
    for (const work of running.works) work.finish();
    this.#settle(running);
    running.stage.finish();
  }

  get part(): WorkPart {
    return this.#options.part ?? 'all';
  }

  /** Undefined until the head has been read. */
  get parsed(): ParsedHeader | undefined {
    return this.#result?.parsed;
  }

  get head(): HeadResult | undefined {
    return this.#result;
  }

  /** Undefined until the datum window has closed, and for good where the header has errors. */
  get basis(): LogBasis | undefined {
    return this.#running?.basis;
  }

  get index(): LineIndex | undefined {
    return this.#running?.flow.index;
  }

  get rows(): number {
    return this.#running?.flow.index.rows ?? 0;
  }

  /** Header problems first, then those of rows by line. */
  get problems(): Problem[] {
    return [...(this.parsed?.problems ?? []), ...(this.#running?.flow.problems ?? [])];
  }

  get events(): readonly StrainEvent[] {
    return this.#running?.stage.events() ?? [];
  }

  /** Offset of the next byte to push. */
  get nextOffset(): number {
    return this.#running?.flow.nextOffset ?? 0;
  }

  get bucketRows(): number {
    return this.#running?.bucketRows ?? 0;
  }

  /** Extremes of every series that has a pyramid, by series name; raw columns in the file's unit, the rest in SI. */
  pyramid(): Map<string, SeriesLevels> {
    const levels = new Map<string, SeriesLevels>();
    const running = this.#running;
    for (const [name, series] of running?.works.flatMap(({ pyramid }) => pyramid) ?? []) {
      if (!levels.has(name)) levels.set(name, series);
    }
    return levels;
  }

  save(): SessionState {
    const running = this.#running;
    if (!running) throw new Error('save: the head has not been read yet');
    return {
      flow: running.flow.save(),
      shares: running.shares,
      works: running.works.map((work) => work.save()),
      stage: running.stage.save(),
      bucketRows: running.bucketRows,
    };
  }

  #replay(result: HeadResult | undefined): void {
    if (!result) return;
    const held = this.#head.held;
    this.#begin(result);
    if (result.basis) this.#running!.flow.push(held.subarray(result.basis.bodyOffset));
  }

  #begin(result: HeadResult, state?: SessionState): void {
    this.#result = result;
    const { basis } = result;
    if (!basis) return;
    const { header, layouts, context } = basis;
    const shares = state?.shares ?? sharesOf(header, dealCells(layouts, 1));
    const bucketRows = state?.bucketRows ?? (this.#options.pyramid === false ? 0 : bucketRowsOf(basis, shares));
    const capacity = blockCapacityFor(header.columns.length);
    const common = { header, layouts, context, capacity, bucketRows, part: this.part };
    const works = shares.map((share, i) => new CellWork({ ...common, share }, state?.works[i]));
    const stage = state ? PlateStage.restore(header, layouts, state.stage) : new PlateStage(header, layouts);
    const start = { line: basis.bodyLine, offset: basis.bodyOffset };
    const flow = new RowFlow(header, start, (block) => this.#onBlock(block), state?.flow);
    this.#running = { basis, flow, shares, works, stage, bucketRows };
  }

  #onBlock(block: RowBlock): void {
    const running = this.#running!;
    for (const work of running.works) work.push(block);
    this.#settle(running);
    running.stage.advance(block.firstRow + block.rows - 1);
    this.#options.onBlock?.(block);
  }

  #settle(running: Running): void {
    const findings = running.works.flatMap((work) => work.take());
    if (findings.length > 0) running.stage.push(findings.sort((a, b) => a.knownRow - b.knownRow || a.cell - b.cell));
  }
}

/** Rows per finest bucket that keep the pyramid of all shares in its budget. */
export function bucketRowsOf(basis: LogBasis, shares: readonly CellShare[]): number {
  const series = shares.reduce((n, share) => n + pyramidSeries(basis.header, basis.layouts, share).length, 0);
  return bucketRowsFor(basis.bytesPerRow, series);
}

/** Analyses a whole log at hand. */
export function analyse(bytes: Uint8Array, options: SessionOptions = { settings: {} }): Session {
  const session = new Session(options);
  session.push(bytes);
  session.finish();
  return session;
}
