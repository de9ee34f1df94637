// Where a log's bytes come from: a file, a remote document, a buffer in a test. The core reads by range and never more.

export interface ByteSource {
  /** Size in bytes at the time of asking; a followed log grows. */
  size(): Promise<number>;
  /** Up to `length` bytes from `offset`; shorter only at the end. The array may be reused by the next read. */
  read(offset: number, length: number): Promise<Uint8Array>;
}

/** A source over bytes already in memory. */
export function memorySource(bytes: Uint8Array): ByteSource {
  return {
    size: () => Promise.resolve(bytes.length),
    read: (offset, length) => Promise.resolve(bytes.subarray(offset, offset + length)),
  };
}
