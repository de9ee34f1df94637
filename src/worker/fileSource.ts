// A log file on this machine as a byte source. Node only.
import { createHash } from 'node:crypto';
import { fstatSync, readSync } from 'node:fs';
import type { Stats } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import type { FileHandle } from 'node:fs/promises';
import type { ByteSource } from '../core/table/byteSource.ts';

/** Blocks by which a log is known again. */
const hashedBlocks = 32;
const hashedBlockBytes = 4096;
/** So much, in bytes, is read while one waits: to ask for it and be called back takes longer, and a followed line asks often. */
const smallRead = 4096;

export interface FileSource extends ByteSource {
  readonly path: string;
  /** Of the open file, shared by all threads: whatever happens to the name, all read the same file. */
  readonly descriptor: number;
  identity(): Promise<string>;
  version(): Promise<string>;
  close(): Promise<void>;
}

/**
 * What stands under the name when asked for its size is what is read from then on: a log that is put in the place of
 * another is opened anew.
 * @throws Error, with the remedy, for what is not a regular file.
 */
export async function openFile(path: string): Promise<FileSource> {
  // Asked before opening: to open a pipe that nobody writes to would wait for ever.
  const about = await stat(path);
  if (!about.isFile()) {
    const what = about.isDirectory() ? 'a folder' : 'no regular file (a pipe or device)';
    throw new Error(`${path} is ${what}; save the log to a file and open that`);
  }
  let handle = await open(path, 'r');
  let identity = identityOf(await handle.stat());
  // Some file systems of other machines number a file anew at every look; there a log put in place of another is not seen.
  const numbered = identity === identityOf(about);
  /** When asked for its size last. */
  let isGone = false;
  const size = async (): Promise<number> => {
    const now = await stat(path).catch(() => undefined);
    isGone = !now?.isFile();
    // A name that is gone: the open file is still there.
    if (!now?.isFile()) return (await handle.stat()).size;
    if (numbered && identityOf(now) !== identity) {
      const former = handle;
      handle = await open(path, 'r');
      identity = identityOf(await handle.stat());
      await former.close();
    }
    return now.size;
  };
  return {
    path,
    get descriptor() {
      return handle.fd;
    },
    size,
    identity: () => Promise.resolve(identity),
    gone: () => Promise.resolve(isGone),
    version: () => Promise.resolve(String(fstatSync(handle.fd, { bigint: true }).mtimeNs)),
    read: (offset, length, into) => readFrom(handle, offset, length, into),
    close: () => handle.close(),
  };
}

async function readFrom(
  handle: FileHandle,
  offset: number,
  length: number,
  into: Uint8Array | undefined,
): Promise<Uint8Array> {
  const buffer = into && into.length >= length ? into : new Uint8Array(length);
  let filled = 0;
  while (filled < length) {
    const rest = length - filled;
    const bytesRead =
      rest <= smallRead
        ? readSync(handle.fd, buffer, filled, rest, offset + filled)
        : (await handle.read(buffer, filled, rest, offset + filled)).bytesRead;
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return buffer.subarray(0, filled);
}

/** Hash of blocks spread evenly over the first `size` bytes, the first and the last among them. */
export async function blocksHash(source: ByteSource, size: number): Promise<string> {
  const hash = createHash('sha256');
  const last = Math.max(0, size - hashedBlockBytes);
  for (let block = 0; block < hashedBlocks; block++) {
    const offset = Math.floor((last * block) / (hashedBlocks - 1));
    hash.update(await source.read(offset, Math.min(hashedBlockBytes, size - offset)));
  }
  return hash.digest('hex');
}

function identityOf({ dev, ino }: Stats): string {
  return `${dev}:${ino}`;
}
