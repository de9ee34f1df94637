// A log file on this machine as a byte source. Node only.
import { open } from 'node:fs/promises';
import type { ByteSource } from '../core/table/byteSource.ts';

export interface FileSource extends ByteSource {
  readonly path: string;
  /** Milliseconds since 1970. */
  modified(): Promise<number>;
  close(): Promise<void>;
}

/** @throws Error, with the remedy, for what is not a regular file. */
export async function openFile(path: string): Promise<FileSource> {
  const handle = await open(path, 'r');
  const stat = await handle.stat();
  if (!stat.isFile()) {
    await handle.close();
    const what = stat.isDirectory() ? 'a folder' : 'no regular file (a pipe or device)';
    throw new Error(`${path} is ${what}; save the log to a file and open that`);
  }
  return {
    path,
    size: async () => (await handle.stat()).size,
    modified: async () => (await handle.stat()).mtimeMs,
    read: async (offset, length) => {
      const buffer = new Uint8Array(length);
      let filled = 0;
      while (filled < length) {
        const { bytesRead } = await handle.read(buffer, filled, length - filled, offset + filled);
        if (bytesRead === 0) break;
        filled += bytesRead;
      }
      return buffer.subarray(0, filled);
    },
    close: () => handle.close(),
  };
}
