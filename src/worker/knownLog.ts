// What a followed log is known again by, cheap enough for every look at it: the file's identity, its time of writing, and
// a few small blocks of what has been read. Growth alone leaves these blocks as they are; a log that is written over in
// place, which begins at its start, does not.
import type { ByteSource } from '../core/table/byteSource.ts';
import type { LogVersion } from './platform.ts';

/** What a log is told by that is not what it was when its reading began. */
export const changedMeanwhile = 'the log was changed while it was read; open it again once it rests';
/** What a followed log is told by that is not there any more. */
export const goneMeanwhile =
  'the log is not there any more, or cannot be reached: it was deleted, renamed or shut off; it is read on once it is back';

interface Block {
  readonly offset: number;
  readonly bytes: Uint8Array;
}

const blockBytes = 1024;
/** Where the second block begins; each further one begins this many times as far, so that ten serve any log. */
const secondOffset = 4096;
const farther = 8;
const wholeEveryMs = 1000;

export class KnownLog {
  readonly size: number;
  readonly version: string;
  readonly #source: ByteSource;
  readonly #identity: string | undefined;
  readonly #blocks: readonly Block[];
  /** When all blocks were compared last. */
  #comparedMs: number;

  private constructor(
    source: ByteSource,
    log: LogVersion,
    identity: string | undefined,
    blocks: readonly Block[],
    comparedMs: number,
  ) {
    this.#source = source;
    this.size = log.size;
    this.version = log.version;
    this.#identity = identity;
    this.#blocks = blocks;
    this.#comparedMs = comparedMs;
  }

  /** The first `size` bytes as they are now: to be asked before they are read. */
  static async now(source: ByteSource, size: number): Promise<KnownLog> {
    // In this order: what is written meanwhile then makes another version, or another block.
    const identity = await source.identity?.();
    const version = (await source.version?.()) ?? '';
    const blocks = await blocksOf(source, offsetsIn(size), size);
    return new KnownLog(source, { size, version }, identity, blocks, Date.now());
  }

  /** The same log, now of `size` bytes: blocks that are known stay as they were. */
  async grown(size: number): Promise<KnownLog> {
    const version = (await this.#source.version?.()) ?? '';
    const kept = this.#blocks.slice(0, -1);
    const more = offsetsIn(size).slice(kept.length);
    const blocks = [...kept, ...(await blocksOf(this.#source, more, size))];
    return new KnownLog(this.#source, { size, version }, this.#identity, blocks, this.#comparedMs);
  }

  /** Nothing was written to it since, as far as its size `now` and the time of writing tell. */
  async rests(now: number): Promise<boolean> {
    return now === this.size && ((await this.#source.version?.()) ?? '') === this.version;
  }

  /**
   * Another log stands under its name: another file, a shorter one, or one written over it. `quick`: only the last block is
   * compared, but for once a second. What is written over a log from its start has gone over that before it adds anything.
   */
  async isOther(now: number, quick = false): Promise<boolean> {
    if (now < this.size || (await this.#source.identity?.()) !== this.#identity) return true;
    const isBrief = quick && Date.now() - this.#comparedMs < wholeEveryMs;
    if (!isBrief) this.#comparedMs = Date.now();
    const blocks = isBrief ? this.#blocks.slice(-1) : this.#blocks;
    const same = await Promise.all(blocks.map((block) => this.#isThere(block)));
    return same.includes(false);
  }

  async #isThere({ offset, bytes }: Block): Promise<boolean> {
    const found = await this.#source.read(offset, bytes.length);
    if (found.length !== bytes.length) return false;
    for (let i = 0; i < bytes.length; i++) if (found[i] !== bytes[i]) return false;
    return true;
  }
}

/** Of whole blocks at fixed places, from the start, and of the last bytes. */
function offsetsIn(size: number): number[] {
  const offsets: number[] = [];
  for (let at = 0; at + blockBytes <= size; at = at === 0 ? secondOffset : at * farther) offsets.push(at);
  return [...offsets, Math.max(0, size - blockBytes)];
}

function blocksOf(source: ByteSource, offsets: readonly number[], size: number): Promise<Block[]> {
  return Promise.all(
    offsets.map(async (offset) => ({
      offset,
      // A copy: a source may answer with a part of what it holds.
      bytes: (await source.read(offset, Math.min(blockBytes, size - offset))).slice(),
    })),
  );
}
