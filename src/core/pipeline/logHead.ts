// The head of a log: from its first bytes to a known zero. Bytes go in until the header is parsed and the datum window
// has closed; out comes what is fixed for the rest of the log. Held bytes are the caller's to replay or to read again.
import { headerEnding } from '../besideLog.ts';
import { finalHeader, splitHeader } from '../header/fileHead/headerEnd.ts';
import type { HeaderSplit } from '../header/fileHead/headerEnd.ts';
import { isUnitsRow } from '../header/fileHead/foreignRows.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { parseCompanion, readCompanion, splitBeside } from '../header/parseCompanion.ts';
import type { CompanionText } from '../header/parseCompanion.ts';
import { parseHeader } from '../header/parseHeader.ts';
import type { ParsedHeader } from '../header/parseHeader.ts';
import { byPlace, wholeLine } from '../problem.ts';
import type { Problem } from '../problem.ts';
import { DatumEstimator } from '../strain/datum.ts';
import { cellLayouts } from '../strain/layout.ts';
import type { CellLayout } from '../strain/layout.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { shiftProblem } from '../table/rowProblems.ts';
import { withDatumProblems } from './datumProblems.ts';
import { askedProblems, withDerivedProblems } from './derivedSeries.ts';
import { HeadReadings, withoutReadingLimits } from './headReadings.ts';
import { RowFlow } from './rowFlow.ts';
import { withUnitDoubts } from './unitDoubts.ts';
import { withSettings } from './settings.ts';
import type { AnalysisSettings } from './settings.ts';

/** The companion of a foreign table, by its file's name. */
export interface Companion {
  readonly text: string;
  readonly name: string;
}

export interface HeadOptions {
  readonly settings: AnalysisSettings;
  readonly companion?: Companion | undefined;
  /** False where the caller can read the rows again, so that they need not be held until the zero is known. */
  readonly hold?: boolean;
}

/** What the rest of the log is read with. */
export interface LogBasis {
  readonly header: LogHeader;
  readonly layouts: readonly CellLayout[];
  readonly context: StrainContext;
  /** Where the rows begin. */
  readonly bodyOffset: number;
  readonly bodyLine: number;
  /** Mean bytes of a row in the head. */
  readonly bytesPerRow: number;
}

export interface HeadResult {
  readonly parsed: ParsedHeader;
  /** Undefined where the header has errors that stop the analysis. */
  readonly basis: LogBasis | undefined;
  /** False where the log ended before its datum window had closed: what is called zero may still change. */
  readonly settled: boolean;
  /** True where the log ended before its row of names did: what its header lacks may still come. */
  readonly awaitsNames: boolean;
}

export class LogHead {
  readonly #options: HeadOptions;
  readonly #companion: CompanionText | undefined;
  #held = new Uint8Array(0);
  #heldBytes = 0;
  #parsed: ParsedHeader | undefined;
  /** Of the bytes and of what was asked for: these lie in the log, or nowhere, also where the header is a companion. */
  #beforeHeader: readonly Problem[] = [];
  #header: LogHeader | undefined;
  #bodyOffset = 0;
  #bodyLine = 1;
  #awaitsNames = false;
  #readings: HeadReadings | undefined;
  #datum: DatumEstimator | undefined;
  #flow: RowFlow | undefined;
  #closed = false;
  #bytesPerRow = 1;
  #result: HeadResult | undefined;

  constructor(options: HeadOptions) {
    this.#options = options;
    this.#companion = options.companion && readCompanion(options.companion.text);
  }

  /** All bytes pushed so far; without `hold`, at least those of the header. */
  get held(): Uint8Array {
    return this.#held.subarray(0, this.#heldBytes);
  }

  /** The result once enough is known; the same on later calls. */
  push(bytes: Uint8Array): HeadResult | undefined {
    if (this.#result) return this.#result;
    if (!this.#parsed || this.#options.hold !== false) this.#hold(bytes);
    if (!this.#parsed) {
      if (!this.#parse(false)) return undefined;
      this.#flow?.push(this.held.subarray(this.#bodyOffset));
    } else this.#flow?.push(bytes);
    this.#flow?.flush();
    if (!this.#header) return this.#end(this.#parsed!, undefined, true);
    return this.#closed ? this.#conclude() : undefined;
  }

  /** The log ends here (for now): makes do with what there is. */
  finish(): HeadResult {
    if (this.#result) return this.#result;
    if (!this.#parsed) {
      this.#parse(true);
      this.#flow?.push(this.held.subarray(this.#bodyOffset));
    }
    this.#flow?.finish();
    if (!this.#header) return this.#end(this.#parsed!, undefined, false);
    return this.#conclude();
  }

  #hold(bytes: Uint8Array): void {
    if (this.#heldBytes + bytes.length > this.#held.length) {
      const grown = new Uint8Array(Math.max(2 * this.#held.length, this.#heldBytes + bytes.length));
      grown.set(this.held);
      this.#held = grown;
    }
    this.#held.set(bytes, this.#heldBytes);
    this.#heldBytes += bytes.length;
  }

  /** False while the end of the header is not among the bytes. */
  #parse(final: boolean): boolean {
    const read = this.#companion ? this.#readForeign(this.#companion, final) : this.#readOwn(final);
    if (!read) return false;
    const { header } = read.parsed;
    this.#parsed = withDerivedProblems(read.parsed);
    const asked = header ? askedProblems(header, this.#options.settings.derived ?? []) : [];
    this.#beforeHeader = [...read.ofBytes, ...asked];
    this.#bodyOffset = read.bytes;
    this.#bodyLine = read.bodyLine;
    this.#awaitsNames = !read.hasNames;
    if (header) this.#start(withSettings(header, this.#options.settings));
    return true;
  }

  #readOwn(final: boolean): SplitRead | undefined {
    const split = splitHeader(this.held);
    if (split !== 'need-more') return splitRead(parseHeader(split.text), split, true);
    if (!final) return undefined;
    const rest = finalHeader(this.held);
    return splitRead(parseHeader(rest.text), rest, false);
  }

  #readForeign(companion: CompanionText, final: boolean): SplitRead | undefined {
    const split = splitBeside(this.held, companion, final);
    if (split === 'need-more') return undefined;
    const problems = split.problems.map((problem) => shiftProblem(problem, split.namesLine - 1));
    const hasNames = split.namesLine > 0 && this.held[split.bytes - 1] === lineFeed;
    const table = { ...split, name: tableOf(this.#options.companion!.name) };
    const read = splitRead(parseCompanion(companion, table), { ...split, problems }, hasNames);
    const [first] = split.rows;
    const { header } = read.parsed;
    if (!header || !first || !isUnitsRow(first, header.table, header.roles.time)) return read;
    return { ...read, bytes: first.end, bodyLine: first.line + 1, ofBytes: [...read.ofBytes, unitsRow(first.line)] };
  }

  #start(header: LogHeader): void {
    this.#header = header;
    this.#readings = new HeadReadings(header);
    this.#datum = new DatumEstimator(header);
    const start = { line: this.#bodyLine, offset: this.#bodyOffset };
    this.#flow = new RowFlow(withoutReadingLimits(header), start, (block) => this.#watch(block, header.roles.time));
  }

  #watch(block: RowBlock, timeColumn: number): void {
    if (this.#closed) return;
    this.#readings!.take(block);
    this.#closed = this.#datum!.push(block);
    // Measured up to the row that closed the window, so that it does not depend on how much was pushed at once.
    const { toS } = this.#closed ? this.#datum!.result().report : { toS: Infinity };
    let last = 0;
    while (last < block.rows - 1 && block.columns[timeColumn]![last]! <= toS) last++;
    const rows = block.firstRow + last;
    if (rows > 0) this.#bytesPerRow = (block.offsets[last]! - this.#bodyOffset) / rows;
  }

  #conclude(): HeadResult {
    const header = this.#header!;
    const context = this.#datum!.result();
    const basis: LogBasis = {
      header,
      layouts: cellLayouts(header),
      context,
      bodyOffset: this.#bodyOffset,
      bodyLine: this.#bodyLine,
      bytesPerRow: Math.max(1, this.#bytesPerRow),
    };
    // Of a log without rows there is nothing to say yet.
    const isEmpty = this.#flow!.index.rows === 0;
    const judged = isEmpty ? this.#parsed! : withDatumProblems(this.#parsed!, context.report);
    return this.#end(
      withUnitDoubts(judged, header, context, this.#readings!.unreadable(context.report.toS)),
      basis,
      this.#closed,
    );
  }

  #end(parsed: ParsedHeader, basis: LogBasis | undefined, settled: boolean): HeadResult {
    // What the bytes alone show goes before what the text says; where that is a companion, its problems lie there.
    const file = this.#options.companion?.name;
    const ordered = [...parsed.problems].sort(byPlace);
    const said = file === undefined ? ordered : ordered.map((problem) => ({ ...problem, file }));
    return (this.#result = {
      parsed: { ...parsed, problems: [...this.#beforeHeader, ...said] },
      basis,
      settled,
      awaitsNames: this.#awaitsNames,
    });
  }
}

/** A header as its text says, and what the bytes alone show. */
interface SplitRead {
  readonly parsed: ParsedHeader;
  readonly bytes: number;
  /** 1-based line where rows may begin. */
  readonly bodyLine: number;
  readonly ofBytes: readonly Problem[];
  /** The row of names is there, with its line break. */
  readonly hasNames: boolean;
}

const lineFeed = 10;

function splitRead(parsed: ParsedHeader, split: HeaderSplit, hasNames: boolean): SplitRead {
  const stopped = split.problems.some((problem) => problem.severity === 'error');
  const header = stopped ? undefined : parsed.header;
  // The text was withheld, so what is missing in it says nothing of the file.
  const problems = parsed.problems.filter(({ code }) => !stopped || code !== 'file-empty');
  const bodyLine = parsed.namesLine + 1;
  return { parsed: { ...parsed, header, problems }, bytes: split.bytes, bodyLine, ofBytes: split.problems, hasNames };
}

/** The table that a companion, by its name, belongs to. */
function tableOf(companion: string): string {
  return companion.endsWith(headerEnding) ? companion.slice(0, -headerEnding.length) : companion;
}

function unitsRow(line: number): Problem {
  return {
    range: wholeLine(line),
    severity: 'information',
    code: 'units-row',
    message:
      'this line after the names holds words and no readings, so it is taken for a row of units and is not read; units stand in the companion, under table: columns',
  };
}
