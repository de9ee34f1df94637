// What the analysis of a log needs of its platform: the bytes and, where there are such, threads and a place for an index.
import type { StrainEvent } from '../core/change/events.ts';
import type { HeadResult } from '../core/pipeline/logHead.ts';
import type { SessionState } from '../core/session.ts';
import type { ByteSource } from '../core/table/byteSource.ts';

/** What a platform can do beyond reading bytes. */
export interface Platform {
  readonly source: ByteSource;
  /** Reads the log with several threads; undefined where the log cannot be cut, or absent where there are no threads. */
  readonly scan?: (request: ScanRequest) => Promise<SessionState | undefined>;
  /**
   * Told of a log of `size` bytes that will most likely be scanned, while its head is still to be read; what is made ready
   * and was not used is given up by calling what it answers with.
   */
  readonly prepareScan?: (size: number) => () => void;
  readonly index?: IndexStore;
  /** Of parts of the first `size` bytes: tells a log that was changed while it was read. */
  readonly fingerprint?: (size: number) => Promise<string>;
}

export interface ScanRequest {
  readonly head: HeadResult;
  readonly size: number;
  readonly from: SessionState | undefined;
  readonly pyramid: boolean;
  readonly signal: AbortSignal;
  /** `share`: of the whole work, 0 to 1. */
  onProgress(share: number, rows: number, events: readonly StrainEvent[]): void;
  /** All of the log can be drawn, and its problems are known; what happened in it is looked for when this is done. */
  onDrawn(state: SessionState): Promise<void>;
}

/** Keeps what a reading has learned, so that the next opening need not read again. */
export interface IndexStore {
  /** The state of an earlier reading of the same log, or of its first part; undefined where none fits. */
  load(head: HeadResult, log: LogVersion): Promise<SessionState | undefined>;
  save(head: HeadResult, state: SessionState, log: LogVersion): Promise<void>;
}

/** A log as its reading found it. */
export interface LogVersion {
  /** Bytes. */
  readonly size: number;
  /** As ByteSource gives it; '' where none is known. */
  readonly version: string;
}
