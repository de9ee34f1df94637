// The bench's own logs, invented, in a folder that version control leaves out. Small ones stay for the next run.
import { closeSync, existsSync, mkdirSync, openSync, readSync, rmSync, statfsSync, statSync } from 'node:fs';
import { bigLogHeader, bigLogShape, writeBigLog } from '../support/bigLog.ts';

export const benchFolder = '.bench';
/** A log above this is deleted once it has been measured. */
export const largeMegabytes = 1000;

/** Path of a log of so many megabytes; an earlier one is used again where its size and header are what we would write. */
export function benchLog(megabytes: number, say: (message: string) => void): string {
  mkdirSync(benchFolder, { recursive: true });
  const path = logPath(megabytes);
  const bytes = megabytes * 1e6;
  const header = bigLogHeader(bigLogShape);
  const size = existsSync(path) ? statSync(path).size : 0;
  if (size >= bytes && size < bytes + 1e6 && readHead(path, header.length) === header) return path;
  const { bavail, bsize } = statfsSync(benchFolder);
  // Its index takes a little more.
  if (1.3 * bytes > bavail * bsize) {
    throw new Error(
      `${benchFolder}: a log of ${megabytes} MB does not fit; ${Math.floor((bavail * bsize) / 1e6)} MB free`,
    );
  }
  say(`writing ${path}`);
  writeBigLog(path, bytes);
  return path;
}

export function dropLargeLog(megabytes: number): void {
  if (megabytes >= largeMegabytes) rmSync(logPath(megabytes), { force: true });
}

function logPath(megabytes: number): string {
  return `${benchFolder}/log${megabytes}.strain.csv`;
}

function readHead(path: string, length: number): string {
  const bytes = Buffer.alloc(length);
  const file = openSync(path, 'r');
  const read = readSync(file, bytes);
  closeSync(file);
  return bytes.toString('utf8', 0, read);
}
