// Reads a log twice over where it must: its head, until the zero of strain is known, then all its rows from the start.
// In: a path. Out: what the rows are read with, and the rows in blocks that are copied out of the scanner.
import { open } from 'node:fs/promises';
import type { FileHandle } from 'node:fs/promises';
import type { HeadResult, LogBasis } from '../../core/pipeline/logHead.ts';
import { RowFlow } from '../../core/pipeline/rowFlow.ts';
import type { AnalysisSettings } from '../../core/pipeline/settings.ts';
import type { Problem } from '../../core/problem.ts';
import type { RowBlock } from '../../core/table/rowBlock.ts';
import { companionOf } from '../../worker/besideFile.ts';
import { openFile } from '../../worker/fileSource.ts';
import { readHead } from '../../worker/readHead.ts';
import { InputError } from '../command.ts';
import { reasonOf } from '../writeWhole.ts';

const chunkBytes = 1024 * 1024;

export interface LogReading {
  /** Undefined where the header has errors. */
  readonly basis: LogBasis | undefined;
  /** Of the header. */
  readonly problems: readonly Problem[];
  /** Hands all rows on, some blocks at a time; answers with the problems of rows. */
  rows(take: (blocks: readonly RowBlock[]) => Promise<void>): Promise<readonly Problem[]>;
}

/** @throws InputError where the file cannot be read. */
export async function readLog(path: string, settings: AnalysisSettings): Promise<LogReading> {
  const head = await readable(path, headOf(path, settings));
  return {
    basis: head.basis,
    problems: head.parsed.problems,
    rows: (take) => withFile(path, (file) => readRows(chunks(path, file, head.basis!.bodyOffset), head.basis!, take)),
  };
}

async function headOf(path: string, settings: AnalysisSettings): Promise<HeadResult> {
  const companion = await companionOf(path);
  const source = await openFile(path);
  try {
    return await readHead(source, await source.size(), { settings, companion });
  } finally {
    await source.close();
  }
}

async function withFile<T>(path: string, use: (file: FileHandle) => Promise<T>): Promise<T> {
  const file = await readable(path, open(path, 'r'));
  try {
    return await use(file);
  } finally {
    await file.close();
  }
}

/** What goes wrong while the log is read is told of the log, and not taken for trouble with the output. */
function readable<T>(path: string, work: Promise<T>): Promise<T> {
  return work.catch((error: unknown) => {
    throw new InputError(`'${path}' could not be read: ${reasonOf(error)}`);
  });
}

async function readRows(
  bytesOfBody: AsyncIterable<Uint8Array>,
  basis: LogBasis,
  take: (blocks: readonly RowBlock[]) => Promise<void>,
): Promise<readonly Problem[]> {
  let blocks: RowBlock[] = [];
  const start = { line: basis.bodyLine, offset: basis.bodyOffset };
  const flow = new RowFlow(basis.header, start, (block) => blocks.push(copied(block)));
  const handOn = async (): Promise<void> => {
    const ready = blocks;
    blocks = [];
    await take(ready);
  };
  for await (const bytes of bytesOfBody) {
    flow.push(bytes);
    await handOn();
  }
  flow.finish();
  await handOn();
  return flow.problems;
}

async function* chunks(path: string, file: FileHandle, from: number): AsyncGenerator<Uint8Array> {
  const buffer = new Uint8Array(chunkBytes);
  for (let position = from; ;) {
    const { bytesRead } = await readable(path, file.read(buffer, 0, chunkBytes, position));
    if (bytesRead === 0) return;
    position += bytesRead;
    yield buffer.subarray(0, bytesRead);
  }
}

function copied(block: RowBlock): RowBlock {
  return {
    rows: block.rows,
    firstRow: block.firstRow,
    columns: block.columns.map((column) => column.slice(0, block.rows)),
    lines: block.lines.slice(0, block.rows),
    offsets: block.offsets.slice(0, block.rows),
  };
}
