// Where a log's bytes come from: a file, a remote document, a buffer in a test. The core reads by range and never more.

export interface ByteSource {
  /** Size in bytes at the time of asking; a followed log grows. */
  size(): Promise<number>;
  /**
   * Up to `length` bytes from `offset`; shorter only at the end. A source may put them into `into`, where that is given
   * and large enough: memory touched for the first time costs more than reading a file does.
   */
  read(offset: number, length: number, into?: Uint8Array): Promise<Uint8Array>;
  /** Another answer than before: what is read now is another log under the same name. Absent where none is known. */
  identity?(): Promise<string>;
  /** Another answer than before: the same log, written to since. Absent where none is known. */
  version?(): Promise<string>;
  /**
   * When asked for its size last, nothing stood under its name any more, or it could not be reached. What was opened can
   * still be read.
   */
  gone?(): Promise<boolean>;
}
