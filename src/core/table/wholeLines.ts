// Puts whole lines together from bytes that come in any pieces, so that the scanner never sees a line cut in two. Only a
// line that a piece leaves unfinished is copied; the rest is read where it is. Memory stays below the longest line allowed
// and one slice, whatever comes.

const LF = 10;

/** Longest line that is read, its line break included; a longer one is left out. */
const longestLineBytes = 16 * 1024 * 1024;
/** Pieces are taken in slices of this size, so that only a line put together can grow long. */
const sliceBytes = 1024 * 1024;

/** What is done with the lines. */
export interface LineTaker {
  /**
   * Reads records from bytes[from, end); bytes[end - 1] is a line break. Returns `end`, or the start of a record whose
   * quote is still open, which must then come again with more bytes; never so where `final` says that there are none.
   */
  read(bytes: Uint8Array, from: number, end: number, final: boolean): number;
  /** A line that is too long begins so; it is left out. */
  tooLong(start: Uint8Array): void;
  /** More bytes of the line that is left out; the last ones if `ended`. */
  leaveOut(bytes: Uint8Array, ended: boolean): void;
}

export class WholeLines {
  readonly #taker: LineTaker;
  #carry = new Uint8Array(0);
  #carried = 0;
  /** The carried record has an open quote, so its end is not the next line break. */
  #openQuote = false;
  /** Inside a line that is left out. */
  #leavingOut = false;

  constructor(taker: LineTaker) {
    this.#taker = taker;
  }

  /** Bytes that wait for the end of their line. */
  get unfinished(): Uint8Array {
    return this.#carry.subarray(0, this.#carried);
  }

  push(bytes: Uint8Array): void {
    for (let from = 0; from < bytes.length; from += sliceBytes) {
      this.#take(bytes.subarray(from, Math.min(bytes.length, from + sliceBytes)));
    }
  }

  /** No more bytes will come: reads what has whole lines. */
  finish(): void {
    if (this.#openQuote) this.#readCarried(true);
  }

  /** Forgets what waits: the next bytes begin a line elsewhere. */
  restart(): void {
    this.#carried = 0;
    this.#openQuote = false;
    this.#leavingOut = false;
  }

  #take(slice: Uint8Array): void {
    let from = this.#leavingOut ? this.#leaveOut(slice) : 0;
    if (this.#carried > 0) from = this.#completeCarried(slice, from);
    if (from === slice.length) return;
    const last = slice.lastIndexOf(LF);
    if (last >= from) from = this.#taker.read(slice, from, last + 1, false);
    if (from === slice.length) return;
    this.#openQuote = from <= last;
    this.#append(slice, from, slice.length);
  }

  /** Returns where the next line begins in `slice`. */
  #leaveOut(slice: Uint8Array): number {
    const lineBreak = slice.indexOf(LF);
    this.#leavingOut = lineBreak < 0;
    const to = lineBreak < 0 ? slice.length : lineBreak + 1;
    this.#taker.leaveOut(slice.subarray(0, to), lineBreak >= 0);
    return to;
  }

  /** Completes the carried record with the beginning of `slice`; returns where the rest of the slice begins. */
  #completeCarried(slice: Uint8Array, from: number): number {
    const lineBreak = slice.indexOf(LF, from);
    const to = this.#openQuote || lineBreak < 0 ? slice.length : lineBreak + 1;
    this.#append(slice, from, to);
    const wasOpen = this.#openQuote;
    if (wasOpen && lineBreak >= 0) this.#readCarried(false);
    if (this.#carried > longestLineBytes) {
      if (this.#openQuote) this.#readCarried(true);
      if (this.#carried > longestLineBytes) this.#drop(!wasOpen && lineBreak >= 0);
    } else if (!wasOpen && lineBreak >= 0) {
      this.#readCarried(false);
      if (this.#openQuote && to < slice.length) return this.#completeCarried(slice, to);
    }
    return to;
  }

  /** Reads the carried bytes up to their last line break and keeps what is left. */
  #readCarried(final: boolean): void {
    const end = this.#carry.lastIndexOf(LF, this.#carried - 1) + 1;
    const read = this.#taker.read(this.#carry, 0, end, final);
    this.#openQuote = read < end;
    this.#carry.copyWithin(0, read, this.#carried);
    this.#carried -= read;
  }

  #append(slice: Uint8Array, from: number, to: number): void {
    const needed = this.#carried + to - from;
    if (needed > this.#carry.length) {
      const larger = new Uint8Array(Math.max(4096, needed, Math.min(2 * this.#carry.length, 2 * longestLineBytes)));
      larger.set(this.unfinished);
      this.#carry = larger;
    }
    this.#carry.set(slice.subarray(from, to), this.#carried);
    this.#carried = needed;
  }

  #drop(ended: boolean): void {
    this.#taker.tooLong(this.unfinished);
    this.#taker.leaveOut(this.unfinished, ended);
    this.#leavingOut = !ended;
    this.#carried = 0;
    this.#carry = new Uint8Array(0);
  }
}
