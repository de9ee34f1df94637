// The analysis of one log from opening to following: head, index of an earlier reading, sampled rows for a first look,
// the full pass, and rows appended later. The same for every platform; what differs stands in platform.ts.
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import type { Companion, HeadResult } from '../core/pipeline/logHead.ts';
import { previewRows, sampleRows } from '../core/pipeline/preview.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import { Session } from '../core/session.ts';
import type { SessionState } from '../core/session.ts';
import { wordsOf } from '../core/problem.ts';
import { isReadToEnd } from '../messages/analysis.ts';
import type { LogSummary, ReadingState } from '../messages/analysis.ts';
import { profileBuild } from './goodBuilds.ts';
import { KnownLog, changedMeanwhile, goneMeanwhile } from './knownLog.ts';
import { LogQueries } from './logQueries.ts';
import type { LogVersion, Platform } from './platform.ts';
import { readHead } from './readHead.ts';
import { summarise } from './summary.ts';
import type { ReadingFacts } from './summary.ts';

export interface LogAnalysisOptions {
  readonly name: string;
  readonly settings: AnalysisSettings;
  readonly companion?: Companion | undefined;
  /** False where nothing is drawn. Default true. */
  readonly pyramid?: boolean;
  /** Reads every row again, whatever an index says. Default false. */
  readonly anew?: boolean;
  /** Waited for when all can be drawn, before events are looked for. */
  readonly beforeFinding?: () => Promise<void>;
}

/** Bytes read at a time in one thread. */
const pieceBytes = 1024 * 1024;
/** A log smaller than this is read so soon that no preview is worth it. */
const previewBytes = 8 * 1024 * 1024;
/** Read so quickly that nobody writes over the log meanwhile. */
const fewBytes = 64 * 1024;
/** Summaries during the pass come at most this often. */
const noticeMs = 150;

/** What a look at a followed log found: nothing new, more rows, or what had to be read from its start. */
export type Growth = 'none' | 'more' | 'anew';

export class LogAnalysis {
  readonly #platform: Platform;
  readonly #options: LogAnalysisOptions;
  readonly #listeners: ((summary: LogSummary) => void)[] = [];
  #session: Session | undefined;
  #queries: LogQueries | undefined;
  #facts: ReadingFacts;
  /** As far as it has been read. */
  #known: KnownLog | undefined;
  #fingerprint: string | undefined;
  #lastNotice = 0;
  /** A reading was stopped, met a change or went wrong while following: rows may be missing, or of two logs. */
  #unread = false;
  /** The log is not where it was; whatever else went wrong is known again once it is back. */
  #gone = false;
  /** State before the session was ended for show: where following goes on. */
  #beforeEnd: { readonly head: HeadResult; readonly state: SessionState } | undefined;

  constructor(platform: Platform, options: LogAnalysisOptions) {
    this.#platform = platform;
    this.#options = options;
    this.#facts = { name: options.name, state: 'reading', reading: 0, bytes: 0, progress: 0, failure: '' };
  }

  onSummary(listener: (summary: LogSummary) => void): void {
    this.#listeners.push(listener);
  }

  get summary(): LogSummary {
    return summarise(this.#session, this.#gone ? { ...this.#facts, gone: true, failure: goneMeanwhile } : this.#facts);
  }

  get session(): Session | undefined {
    return this.#session;
  }

  /** Undefined until the head has been read. */
  get queries(): LogQueries | undefined {
    return this.#queries;
  }

  /** Reads the whole log. Never rejects: what goes wrong is in the summary. */
  async run(signal: AbortSignal): Promise<void> {
    const { source, index, prepareScan } = this.#platform;
    let giveUp: (() => void) | undefined;
    try {
      const size = await source.size();
      // Where an index is kept, a scan is the exception.
      if (!index) giveUp = prepareScan?.(size);
      await this.#read(size, signal);
    } catch (error) {
      this.#unread ||= signal.aborted || (error instanceof Error && error.message === changedMeanwhile);
      this.#tellEnd(error, signal);
    } finally {
      giveUp?.();
    }
  }

  /**
   * Takes in what was appended since; reads anew where another log, or a shorter one, stands there now, or where a reading
   * was broken off. Never rejects: what goes wrong is in the summary.
   */
  async readOn(signal: AbortSignal): Promise<Growth> {
    if (signal.aborted) return 'none';
    try {
      return await this.#readOn(await this.#platform.source.size(), signal);
    } catch (error) {
      this.#unread = true;
      return this.#tellEnd(error, signal) ? 'anew' : 'none';
    }
  }

  /** Following has ended: the log stands as far as it has been read. */
  rest(): void {
    if (this.#facts.state === 'following') this.#tell({ state: 'complete' }, true);
  }

  async #readOn(size: number, signal: AbortSignal): Promise<Growth> {
    const { source } = this.#platform;
    const wasGone = this.#gone;
    this.#gone = (await source.gone?.()) ?? false;
    if (this.#gone !== wasGone) this.#tell({}, true);
    if (!this.#unread && (await this.#known?.rests(size))) return 'none';
    const anew = this.#unread || ((await this.#known?.isOther(size, size > this.#facts.bytes)) ?? true);
    if (!anew && size === this.#facts.bytes) return 'none';
    const session = anew ? undefined : this.#goOn();
    if (session && (await this.#readMore(session, size, signal))) return 'more';
    await this.run(signal);
    return anew || session ? 'anew' : 'more';
  }

  /** False where the log was written over meanwhile, so that the session may have read two. */
  async #readMore(session: Session, size: number, signal: AbortSignal): Promise<boolean> {
    const known = await this.#known!.grown(size);
    await this.#readPieces(session, session.nextOffset, size, signal);
    if (await known.isOther(size, size - this.#facts.bytes <= fewBytes)) return false;
    this.#known = known;
    this.#tell({ state: 'following', bytes: size, progress: 1, rows: undefined, events: undefined }, true);
    return true;
  }

  /**
   * The log boiled down to one value per layer, its rows read again.
   * @throws Error, in words for the user, where it has not been read to the end, or cannot be compared.
   */
  async profile(): Promise<ProfiledBuild> {
    const { name, state, failure } = this.#facts;
    if (!this.#session || !isReadToEnd(state)) {
      throw new Error(`'${name}' has not been read to the end${failure === '' ? '; read it again' : `: ${failure}`}`);
    }
    return profileBuild(name, this.#session, this.#platform.source);
  }

  /** A session that more rows can be pushed into; undefined where the log must be read anew. */
  #goOn(): Session | undefined {
    if (this.#session?.head?.settled === false || this.#session?.part === 'draw') return undefined;
    if (!this.#beforeEnd) return this.#session?.basis ? this.#session : undefined;
    const { head, state } = this.#beforeEnd;
    this.#beforeEnd = undefined;
    this.#session = Session.resume(this.#options, head, state);
    this.#queries = new LogQueries(this.#session, this.#platform.source, undefined);
    return this.#session;
  }

  async #read(size: number, signal: AbortSignal): Promise<void> {
    const { source, index, fingerprint } = this.#platform;
    this.#known = await KnownLog.now(source, size);
    const log = { size, version: this.#known.version };
    this.#beforeEnd = undefined;
    this.#unread = false;
    const reading = this.#facts.reading + 1;
    this.#facts = { name: this.#options.name, state: 'reading', reading, bytes: size, progress: 0, failure: '' };
    const head = await readHead(source, size, this.#options, signal);
    const session = Session.resume(this.#options, head);
    this.#session = session;
    if (!head.basis) {
      this.#queries = new LogQueries(session, source, undefined);
      this.#tell({ state: 'complete', progress: 1 }, true);
      return;
    }
    this.#fingerprint = await fingerprint?.(size);
    const known = this.#options.anew ? undefined : await index?.load(head, log);
    if (!known && size > previewBytes && this.#options.pyramid !== false) await this.#preview(session, head, size);
    signal.throwIfAborted();
    const state = await this.#passFrom(head, known, size, signal);
    if (state !== known) await this.#keep(head, state, log);
  }

  async #preview(session: Session, head: HeadResult, size: number): Promise<void> {
    const { source } = this.#platform;
    const rows = await sampleRows(source, head.basis!, size, previewRows);
    if (rows.rows < 2) return;
    this.#queries = new LogQueries(session, source, rows);
    const endS = rows.columns[head.basis!.header.roles.time]![rows.rows - 1]!;
    this.#tell({ state: 'sampled', endS }, true);
  }

  /** An index that fits and yet cannot be gone on from costs time, not the log. */
  async #passFrom(
    head: HeadResult,
    known: SessionState | undefined,
    size: number,
    signal: AbortSignal,
  ): Promise<SessionState> {
    try {
      return await this.#pass(head, known, size, signal);
    } catch (error) {
      if (!known || signal.aborted) throw error;
      return this.#pass(head, undefined, size, signal);
    }
  }

  /** The full pass, from where `known` ends. Answers with the state reached. */
  async #pass(
    head: HeadResult,
    known: SessionState | undefined,
    size: number,
    signal: AbortSignal,
  ): Promise<SessionState> {
    const { scan, source, fingerprint } = this.#platform;
    const pyramid = this.#options.pyramid !== false;
    const state = await scan?.({
      ...{ head, size, from: known, pyramid, signal },
      onProgress: (progress, rows, events) =>
        this.#tell(this.#facts.state === 'drawn' ? { progress, events } : { progress, rows, events }),
      onDrawn: (drawn) => this.#showDrawn(head, drawn),
    });
    const reached = state ?? known;
    const session = Session.resume(this.#options, head, reached);
    const offset = reached?.flow.offset ?? head.basis!.bodyOffset;
    await this.#readPieces(session, offset, size, signal);
    const other = await this.#known!.isOther(await source.size());
    if (other || (await fingerprint?.(size)) !== this.#fingerprint) throw new Error(changedMeanwhile);
    const kept = session.save();
    this.#beforeEnd = { head, state: kept };
    session.finish();
    this.#session = session;
    this.#queries = new LogQueries(session, source, undefined);
    this.#tell({ state: 'complete', progress: 1, rows: undefined, events: undefined, endS: undefined }, true);
    return known?.flow.offset === kept.flow.offset ? known : kept;
  }

  async #showDrawn(head: HeadResult, drawn: SessionState): Promise<void> {
    const session = Session.resume({ ...this.#options, part: 'draw' }, head, drawn);
    this.#session = session;
    this.#queries = new LogQueries(session, this.#platform.source, undefined);
    this.#tell({ state: 'drawn', rows: undefined, endS: undefined, events: [] }, true);
    await this.#options.beforeFinding?.();
  }

  /** Pushes bytes [offset, size) into `session`, with a breath between pieces so that questions are answered. */
  async #readPieces(session: Session, offset: number, size: number, signal: AbortSignal): Promise<void> {
    const buffer = new Uint8Array(Math.min(pieceBytes, Math.max(0, size - offset)));
    for (let at = offset; at < size;) {
      const bytes = await this.#platform.source.read(at, Math.min(pieceBytes, size - at), buffer);
      if (bytes.length === 0) break;
      session.push(bytes);
      at += bytes.length;
      signal.throwIfAborted();
      // Gathering the events costs, and most pieces are told to nobody.
      const events = this.#isDue() ? { events: session.events } : {};
      this.#tell({ progress: at / size, rows: session.rows, ...events });
    }
    session.flush();
  }

  async #keep(head: HeadResult, state: SessionState, log: LogVersion): Promise<void> {
    try {
      await this.#platform.index?.save(head, state, log);
    } catch (error) {
      // An index saves time only; a log that has been read stays read without one.
      const why = wordsOf(error);
      this.#tell({ failure: `no index kept, so the next opening reads the whole log again: ${why}` }, true);
    }
  }

  /** What ended a reading before its time; answers whether it was told just now. */
  #tellEnd(error: unknown, signal: AbortSignal): boolean {
    const failure = wordsOf(error);
    if (!signal.aborted && this.#facts.state === 'failed' && this.#facts.failure === failure) return false;
    this.#tell(signal.aborted ? { state: 'stopped' } : { state: 'failed', failure }, true);
    return true;
  }

  /** Somebody listens and has not been told for a while. */
  #isDue(): boolean {
    return this.#listeners.length > 0 && Date.now() - this.#lastNotice >= noticeMs;
  }

  #tell(change: Partial<ReadingFacts> & { state?: ReadingState }, now = false): void {
    this.#facts = { ...this.#facts, ...change };
    if (this.#listeners.length === 0 || (!now && !this.#isDue())) return;
    this.#lastNotice = Date.now();
    const { summary } = this;
    for (const listener of this.#listeners) listener(summary);
  }
}
