// The head of a log, read from its bytes as far as is needed to know the header and the zero of strain.
import { LogHead } from '../core/pipeline/logHead.ts';
import type { HeadOptions, HeadResult } from '../core/pipeline/logHead.ts';
import type { ByteSource } from '../core/table/byteSource.ts';

/** Bytes read first: most heads end within them, and rows beyond the head's would be scanned for nothing. */
const firstBytes = 128 * 1024;
const mostBytes = 1024 * 1024;

/** Of the first `size` bytes. Nothing is held but the header. @throws what `signal` was aborted with. */
export async function readHead(
  source: ByteSource,
  size: number,
  options: Pick<HeadOptions, 'settings' | 'companion'>,
  signal?: AbortSignal,
): Promise<HeadResult> {
  const head = new LogHead({ ...options, hold: false });
  let piece = firstBytes;
  for (let offset = 0; offset < size;) {
    const bytes = await source.read(offset, Math.min(piece, size - offset));
    if (bytes.length === 0) break;
    offset += bytes.length;
    piece = Math.min(2 * piece, mostBytes);
    const result = head.push(bytes);
    if (result) return result;
    signal?.throwIfAborted();
  }
  return head.finish();
}
