// Help for the tests of the table part: scan a text in given pieces and gather all that comes out as plain values.
import fc from 'fast-check';
import { createScanner } from '../../../src/core/table/tableScanner.ts';
import type { LogHeader, TableForm } from '../../../src/core/header/logHeader.ts';
import type { Problem } from '../../../src/core/problem.ts';
import type { TableScanner } from '../../../src/core/table/scanner.ts';

export type TestHeader = Pick<LogHeader, 'columns' | 'roles' | 'table'>;

export interface ScannedRow {
  readonly line: number;
  readonly offset: number;
  readonly values: readonly number[];
}

export interface Scanned {
  readonly rows: readonly ScannedRow[];
  readonly problems: readonly Problem[];
  readonly scanner: TableScanner;
}

const commaTable: TableForm = {
  delimiter: ',',
  decimal: '.',
  skipLines: 0,
  comment: '#',
  timeFormat: '',
};

/** `time:string` declares a text column; a bare name a float64 one. Roles go by the names time, layer and phase. */
export function headerOf(names: readonly string[], table: Partial<TableForm> = {}): TestHeader {
  const columns = names.map((declared) => {
    const [name = '', datatype = 'float64'] = declared.split(':');
    return { name, datatype, unit: '', toSiScale: 1, toSiOffset: 0 };
  });
  const role = (name: string): number => columns.findIndex((column) => column.name === name);
  return {
    columns,
    roles: { time: role('time'), layer: role('layer'), phase: role('phase') },
    table: { ...commaTable, ...table },
  };
}

export interface ScanOptions {
  /** Sizes of the pieces, used in turn; all at once where left out. */
  readonly pieces?: readonly number[];
  readonly blockRows?: number;
  readonly startLine?: number;
  readonly startOffset?: number;
}

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

function piecesOf(bytes: Uint8Array, sizes: readonly number[]): Uint8Array[] {
  const pieces: Uint8Array[] = [];
  for (let from = 0, i = 0; from < bytes.length; i++) {
    const size = sizes.length > 0 ? sizes[i % sizes.length]! : bytes.length;
    pieces.push(bytes.slice(from, from + size));
    from += size;
  }
  return pieces;
}

export function scan(header: TestHeader, input: string | Uint8Array, options: ScanOptions = {}): Scanned {
  const rows: ScannedRow[] = [];
  const problems: Problem[] = [];
  const scanner = createScanner(header, {
    blockRows: options.blockRows ?? 7,
    startLine: options.startLine ?? 1,
    startOffset: options.startOffset ?? 0,
    onBlock: (block) => {
      if (block.firstRow !== rows.length) throw new Error(`firstRow ${block.firstRow}, expected ${rows.length}`);
      for (let row = 0; row < block.rows; row++) {
        const values = block.columns.map((column) => column[row]!);
        rows.push({ line: block.lines[row]!, offset: block.offsets[row]!, values });
      }
    },
    onProblem: (problem) => problems.push(problem),
  });
  const bytes = typeof input === 'string' ? bytesOf(input) : input;
  for (const piece of piecesOf(bytes, options.pieces ?? [])) scanner.push(piece);
  scanner.finish();
  return { rows, problems, scanner };
}

/** A small seeded generator (mulberry32, public domain, T. Ettinger 2017): numbers in [0, 1). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Sizes of pieces; none for all at once. */
export const anyPieces = fc.oneof(
  fc.constant([]),
  fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 8 }),
  fc.constant([1]),
);
