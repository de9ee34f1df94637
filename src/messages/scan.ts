// What crosses between the coordinator of a parallel scan and its threads.
import type { CellFinding } from '../core/change/findings.ts';
import type { CellShare, CellWorkState, WorkPart } from '../core/pipeline/cellWork.ts';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import type { Problem } from '../core/problem.ts';
import type { LineIndexState } from '../core/table/lineIndex.ts';
import type { RowGateState } from '../core/table/rowGate.ts';

/** What a thread is started with; all plain data. */
export interface ScanTask<Memory> {
  /** File descriptor of the log, of this process. */
  readonly descriptor: number;
  readonly basis: LogBasis;
  /** First byte to scan, the line it begins, and the size of the file to scan to. */
  readonly start: { readonly offset: number; readonly line: number };
  readonly size: number;
  readonly rangeBytes: number;
  readonly memory: Memory;
  readonly thread: number;
  readonly share: CellShare;
  readonly bucketRows: number;
  readonly part: WorkPart;
  /** State after the rows before `start`; undefined at the start of the log. */
  readonly gate: RowGateState | undefined;
  readonly index: LineIndexState | undefined;
  readonly work: CellWorkState | undefined;
}

/** Thread to coordinator. */
export type FromScan =
  | { readonly type: 'parsed'; readonly range: number; readonly problems: readonly Problem[] }
  | {
      readonly type: 'analysed';
      readonly thread: number;
      /** Ranges analysed so far, and the last accepted row. */
      readonly ranges: number;
      readonly row: number;
      readonly timeS: number;
      readonly layer: number;
      readonly findings: readonly CellFinding[];
      /** Lines before each range analysed since the last such message. */
      readonly lineBases: readonly number[];
    }
  | {
      readonly type: 'done';
      readonly thread: number;
      readonly work: CellWorkState;
      readonly gate: RowGateState;
      /** Of the first thread only. */
      readonly index: LineIndexState | undefined;
      readonly endLine: number;
      readonly endOffset: number;
    }
  | { readonly type: 'stopped'; readonly reason: number }
  | { readonly type: 'failed'; readonly message: string };
