import type { ByteSource } from '../../src/core/table/byteSource.ts';

/** A source over bytes already in memory. */
export function memorySource(bytes: Uint8Array): ByteSource {
  return {
    size: () => Promise.resolve(bytes.length),
    read: (offset, length) => Promise.resolve(bytes.subarray(offset, offset + length)),
  };
}
