// A log file on this machine as a byte source. Node only.
import { open, stat } from 'node:fs/promises';
import type { ByteSource } from '../core/table/byteSource.ts';

export interface FileSource extends ByteSource {
  readonly path: string;
  /** Milliseconds since 1970. */
  modified(): Promise<number>;
  close(): Promise<void>;
}

/** @throws Error, with the remedy, for what is not a regular file. */
export async function openFile(path: string): Promise<FileSource> {
  // Asked before opening: to open a pipe that nobody writes to would wait for ever.
  const about = await stat(path);
  if (!about.isFile()) {
    const what = about.isDirectory() ? 'a folder' : 'no regular file (a pipe or device)';
    throw new Error(`${path} is ${what}; save the log to a file and open that`);
  }
  const handle = await open(path, 'r');
  return {
    path,
    size: async () => (await handle.stat()).size,
    modified: async () => (await handle.stat()).mtimeMs,
    read: async (offset, length, into) => {
      const buffer = into && into.length >= length ? into : new Uint8Array(length);
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
