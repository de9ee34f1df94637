// Bytes of the body to accepted rows: scanner, gate and line index in one, for readers that take a log from its start
// (or from where an earlier reading stopped) in one thread.
import type { LogHeader } from '../header/logHeader.ts';
import type { Problem } from '../problem.ts';
import { createGate, createIndex, createScanner } from '../table/tableScanner.ts';
import type { LineIndex, LineIndexState } from '../table/lineIndex.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import type { RowGate, RowGateState } from '../table/rowGate.ts';
import { ProblemFold } from '../table/rowProblems.ts';
import type { ProblemFoldState } from '../table/rowProblems.ts';
import { blockRowsFor, emptyBlock } from '../table/rowBlock.ts';
import type { TableScanner } from '../table/scanner.ts';

/** Plain data: where a reading stopped. */
export interface RowFlowState {
  readonly line: number;
  readonly offset: number;
  readonly gate: RowGateState;
  readonly index: LineIndexState;
  readonly problems: ProblemFoldState;
}

export class RowFlow {
  readonly index: LineIndex;
  readonly gate: RowGate;
  readonly #scanner: TableScanner;
  readonly #fold = new ProblemFold();
  readonly #onBlock: (block: RowBlock) => void;
  readonly #columns: number;
  #finished = false;

  /** `onBlock` is given accepted rows only; the block is reused. */
  constructor(
    header: LogHeader,
    start: { readonly line: number; readonly offset: number },
    onBlock: (block: RowBlock) => void,
    state?: RowFlowState,
  ) {
    this.index = createIndex(header);
    this.gate = createGate(header);
    this.#onBlock = onBlock;
    this.#columns = header.columns.length;
    if (state) {
      this.index.restore(state.index);
      this.gate.restore(state.gate);
      this.#fold.restore(state.problems);
    }
    this.#scanner = createScanner(header, {
      blockRows: blockRowsFor(header.columns.length),
      startLine: state?.line ?? start.line,
      startOffset: state?.offset ?? start.offset,
      onBlock: (block) => this.#accept(block),
      onProblem: (problem) => this.#fold.add(problem),
    });
  }

  push(bytes: Uint8Array): void {
    this.#scanner.push(bytes);
  }

  /** Hands on the rows read so far: after the last bytes at hand, so that a followed log's newest row is judged. */
  flush(): void {
    this.#scanner.flush();
  }

  finish(): void {
    this.#scanner.finish();
    this.#finished = true;
    const last = emptyBlock(this.#columns, 0);
    this.gate.finish(last);
    this.#handOn(last);
  }

  /** Problems of rows so far, ordered by line, folded. */
  get problems(): Problem[] {
    const found = this.#found().problems();
    return [...found, ...this.gate.problems].sort((a, b) => a.range.line - b.range.line);
  }

  /** Offset of the next byte to push: the bytes of an unfinished line are held already. */
  get nextOffset(): number {
    return this.#scanner.position.offset + this.#scanner.unfinishedBytes;
  }

  save(): RowFlowState {
    return {
      ...this.#scanner.position,
      gate: this.gate.save(),
      index: this.index.save(),
      problems: this.#found().save(),
    };
  }

  /** What was found by the scanner so far, with what it counts by itself until it ends. */
  #found(): ProblemFold {
    if (this.#finished) return this.#fold;
    const found = new ProblemFold();
    found.restore(this.#fold.save());
    for (const problem of this.#scanner.foldedProblems()) found.add(problem);
    return found;
  }

  #accept(block: RowBlock): void {
    this.gate.accept(block);
    this.index.originS = this.gate.originS;
    this.#handOn(block);
  }

  #handOn(block: RowBlock): void {
    if (block.rows === 0) return;
    this.index.add(block);
    this.#onBlock(block);
  }
}
