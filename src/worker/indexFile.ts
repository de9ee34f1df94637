// The index of a log on disk: the state of a reading, so that the next opening continues instead of reading again.
// One file a log, in the editor's own storage; written beside and renamed, so it is whole or absent. It is tied to the log
// by size, time of writing and hashed blocks, to what the header says by a hash, and guarded by a checksum: what does not fit
// is refused and made anew. A log that only grew still fits. Node only.
// Layout: 'UPIX', version, length of the JSON, checksum of all that follows; JSON; buffers, each with its length before it.
import { createHash } from 'node:crypto';
import { mkdir, readFile, readdir, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { threadId } from 'node:worker_threads';
import { crc32 } from 'node:zlib';
import type { HeadResult } from '../core/pipeline/logHead.ts';
import type { SessionState } from '../core/session.ts';
import { blocksHash } from './fileSource.ts';
import type { FileSource } from './fileSource.ts';
import { fitsLog } from './indexCheck.ts';
import type { IndexStore, LogVersion } from './platform.ts';
import { pack, unpack } from './plainCodec.ts';

const magic = 'UPIX';
/** Raised whenever a state changes its form or an analysis its results. */
const indexVersion = 15;
const headBytes = 16;
/** All index files together take no more than this; the longest unused go first. */
const mostStoredBytes = 512 * 1024 * 1024;
/** A half-written index of a process that was ended is left alone for so long. */
const forsakenMs = 24 * 3600 * 1000;

interface IndexContent {
  readonly log: LogVersion;
  /** Hash of blocks of what the state has read. */
  readonly blocks: string;
  readonly basis: string;
  readonly state: SessionState;
}

export function indexStore(source: FileSource, folder: string, limitBytes = mostStoredBytes): IndexStore {
  const name = `${sha256(source.path).slice(0, 32)}.underplate-index`;
  const path = join(folder, name);
  const stateFor = async (head: HeadResult, log: LogVersion): Promise<SessionState | undefined> => {
    const content = await readIndex(path);
    if (!content || content.basis !== basisHash(head)) return undefined;
    const { log: before, blocks, state } = content;
    // Hashed blocks tell growth from another log; a value changed in place they may miss.
    const grew = log.size > before.size;
    if (!grew && (log.size < before.size || log.version !== before.version)) return undefined;
    if (!fitsLog(state, head.basis!, before.size)) return undefined;
    if ((await blocksHash(source, state.flow.offset)) !== blocks) return undefined;
    // Marks it as used: the oldest go first.
    await utimes(path, new Date(), new Date()).catch(() => undefined);
    return state;
  };
  return {
    // Whatever is wrong with it, an index is only a saving of time.
    load: (head, log) => stateFor(head, log).catch(() => undefined),
    save: async (head, state, log) => {
      await mkdir(folder, { recursive: true });
      await dropForsaken(folder);
      const blocks = await blocksHash(source, state.flow.offset);
      await writeIndex(path, { log, blocks, basis: basisHash(head), state });
      await dropOldest(folder, limitBytes, name);
    },
  };
}

async function writeIndex(path: string, content: IndexContent): Promise<void> {
  const bytes = encodeIndex(content);
  const beside = `${path}.${process.pid}-${threadId}.part`;
  try {
    await writeFile(beside, bytes);
    await rename(beside, path);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
}

function encodeIndex(content: IndexContent): Uint8Array {
  const { json, buffers } = pack(content);
  const text = new TextEncoder().encode(json);
  const total = buffers.reduce((sum, buffer) => sum + 4 + buffer.length, headBytes + text.length);
  const bytes = new Uint8Array(total);
  const view = new DataView(bytes.buffer);
  let at = headBytes;
  bytes.set(text, at);
  at += text.length;
  for (const buffer of buffers) {
    view.setUint32(at, buffer.length, true);
    bytes.set(buffer, at + 4);
    at += 4 + buffer.length;
  }
  bytes.set(new TextEncoder().encode(magic), 0);
  view.setUint32(4, indexVersion, true);
  view.setUint32(8, text.length, true);
  view.setUint32(12, crc32(bytes.subarray(headBytes)), true);
  return bytes;
}

/** Undefined for a file that is absent, cut short, damaged or of another version. */
async function readIndex(path: string): Promise<IndexContent | undefined> {
  try {
    const bytes = new Uint8Array(await readFile(path));
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    if (new TextDecoder().decode(bytes.subarray(0, 4)) !== magic || view.getUint32(4, true) !== indexVersion) {
      return undefined;
    }
    if (crc32(bytes.subarray(headBytes)) !== view.getUint32(12, true)) return undefined;
    const textEnd = headBytes + view.getUint32(8, true);
    const buffers: Uint8Array[] = [];
    for (let at = textEnd; at < bytes.length;) {
      const length = view.getUint32(at, true);
      buffers.push(bytes.subarray(at + 4, at + 4 + length));
      at += 4 + length;
    }
    const json = new TextDecoder().decode(bytes.subarray(headBytes, textEnd));
    return unpack(json, (index) => buffers[index]!) as IndexContent;
  } catch {
    return undefined;
  }
}

/** What the analysis rests on; another header, companion or setting makes another analysis. */
function basisHash({ basis }: HeadResult): string {
  return sha256(JSON.stringify(basis, (_, value: unknown) => (typeof value === 'number' ? `${value}` : value)));
}

async function dropOldest(folder: string, limitBytes: number, keep: string): Promise<void> {
  const files = await filesOf(folder, (name) => name.endsWith('.underplate-index'));
  let total = files.reduce((sum, file) => sum + file.size, 0);
  for (const file of files.sort((a, b) => a.mtimeMs - b.mtimeMs)) {
    if (total <= limitBytes) break;
    if (file.name === keep) continue;
    await rm(join(folder, file.name), { force: true });
    total -= file.size;
  }
}

async function dropForsaken(folder: string): Promise<void> {
  for (const { name, mtimeMs } of await filesOf(folder, (one) => one.endsWith('.part'))) {
    if (Date.now() - mtimeMs > forsakenMs) await rm(join(folder, name), { force: true });
  }
}

/** Another window may take a file away meanwhile. */
async function filesOf(
  folder: string,
  wanted: (name: string) => boolean,
): Promise<{ readonly name: string; readonly size: number; readonly mtimeMs: number }[]> {
  const names = (await readdir(folder)).filter(wanted);
  const about = await Promise.all(names.map((name) => stat(join(folder, name)).catch(() => undefined)));
  return about.flatMap((file, i) => (file ? [{ name: names[i]!, size: file.size, mtimeMs: file.mtimeMs }] : []));
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}
