// What a file on this machine offers an analysis: reading by range, several threads, an index kept on disk. Node only.
import { availableParallelism } from 'node:os';
import type { IndexStore, Platform, ScanRequest } from './platform.ts';
import type { WorkPart } from '../core/pipeline/cellWork.ts';
import type { SessionState } from '../core/session.ts';
import { drawFirst } from './drawFirst.ts';
import { blocksHash } from './fileSource.ts';
import type { FileSource } from './fileSource.ts';
import { leastParallelBytes, parallelScan } from './parallelScan.ts';
import { WaitingThreads } from './waitingThreads.ts';

/** More threads than this gain nothing: the file's order has to be kept. */
const mostThreads = 8;

export function nodePlatform(source: FileSource, index: IndexStore | undefined, threads?: number): Platform {
  const count = threads ?? Math.min(mostThreads, availableParallelism());
  const waiting = new WaitingThreads();
  const scan = (request: ScanRequest): Promise<SessionState | undefined> => scanFile(source, request, count, waiting);
  const prepareScan = (size: number): (() => void) => {
    if (size >= leastParallelBytes) waiting.start(count);
    return () => waiting.end();
  };
  const fingerprint = (size: number): Promise<string> => blocksHash(source, size);
  return { source, scan, prepareScan, fingerprint, ...(index ? { index } : {}) };
}

async function scanFile(
  source: FileSource,
  request: ScanRequest,
  threads: number,
  waiting: WaitingThreads,
): Promise<SessionState | undefined> {
  const { head, size, from, pyramid, signal, onProgress, onDrawn } = request;
  const basis = head.basis!;
  const start = from?.flow.offset ?? basis.bodyOffset;
  if (size - start < leastParallelBytes) return undefined;
  const pass = (part: WorkPart, since: number, until: number): Promise<SessionState | undefined> =>
    parallelScan({
      ...{ descriptor: source.descriptor, size, basis, threads, pyramid, signal, from, part, waiting },
      onProgress: (bytes, rows, events) =>
        onProgress(since + (until - since) * Math.min(1, bytes / (size - start)), rows, events),
    });
  return pyramid ? drawFirst(pass, onDrawn) : pass('all', 0, 1);
}
