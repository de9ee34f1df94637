// Rows read again through the index are, bit for bit, those of the pass that made the index.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import type { ByteSource } from '../../../src/core/table/byteSource.ts';
import { memorySource } from '../../support/memorySource.ts';
import { createGate, createIndex, createScanner } from '../../../src/core/table/tableScanner.ts';
import { LineIndex, rowsPerEntry } from '../../../src/core/table/lineIndex.ts';
import type { RowBlock } from '../../../src/core/table/rowBlock.ts';
import { emptyBlock } from '../../../src/core/table/rowBlock.ts';
import {
  LogChangedError,
  placeOfLine,
  placeOfRow,
  placeOfTime,
  readLines,
  readRowRanges,
  readRows,
} from '../../../src/core/table/rowReader.ts';
import { bytesOf, headerOf, seeded, type TestHeader } from './scanning.ts';

interface Row {
  readonly row: number;
  readonly line: number;
  readonly offset: number;
  readonly values: readonly number[];
}

interface Log {
  readonly header: TestHeader;
  readonly bytes: Uint8Array;
  readonly source: ByteSource;
  readonly index: LineIndex;
  readonly rows: readonly Row[];
}

const head = '# made up\ntime,layer,a\n';

function gather(into: Row[]): (block: RowBlock) => void {
  return (block) => {
    for (let row = 0; row < block.rows; row++) {
      const values = block.columns.map((column) => column[row]!);
      into.push({ row: block.firstRow + row, line: block.lines[row]!, offset: block.offsets[row]!, values });
    }
  };
}

/** One full pass over head and body. */
function indexed(header: TestHeader, body: string): Log {
  const bytes = bytesOf(head + body);
  const rows: Row[] = [];
  const keep = gather(rows);
  const index = createIndex(header);
  const gate = createGate(header);
  const take = (block: RowBlock): void => {
    index.originS = gate.originS;
    index.add(block);
    keep(block);
  };
  const scanner = createScanner(header, {
    blockRows: 50,
    startLine: 3,
    startOffset: head.length,
    onBlock: (block) => {
      gate.accept(block);
      take(block);
    },
    onProblem: () => undefined,
  });
  scanner.push(bytes.subarray(head.length));
  scanner.finish();
  const last = emptyBlock(header.columns.length, 1);
  gate.finish(last);
  take(last);
  return { header, bytes, source: memorySource(bytes), index, rows };
}

/** A body with every oddity that makes rows and lines part company. */
function oddBody(lines: number, seed: number): string {
  const random = seeded(seed);
  let time = 0;
  let body = '';
  for (let i = 0; i < lines; i++) {
    const dice = random();
    if (dice < 0.03) body += '\n';
    else if (dice < 0.06) body += '# remark\r\n';
    else if (dice < 0.08) body += `${time},1\n`;
    else if (dice < 0.1) body += `${time + 1e6 - i},${i},1\n`;
    else if (dice < 0.12) body += `${time - 1},${i},1\n`;
    else if (dice < 0.13) body += `nan,${i},1\n`;
    else {
      time += dice > 0.995 ? 300 : 0.5;
      body += `${time},${Math.floor(i / 70)},${(random() * 100).toFixed(3)}${dice < 0.5 ? '\r\n' : '\n'}`;
    }
  }
  return body;
}

const header = headerOf(['time', 'layer', 'a']);
const odd = indexed(header, oddBody(1500, 7));

async function read(log: Log, from: number, to: number): Promise<Row[]> {
  const rows: Row[] = [];
  await readRows(log.source, log.header, log.index, from, to, gather(rows));
  return rows;
}

describe('reading rows again', () => {
  it('gives any range as the full pass did', async () => {
    assert.ok(odd.rows.length > 1000);
    assert.deepEqual(await read(odd, 0, odd.rows.length), odd.rows);
    await fc.assert(
      fc.asyncProperty(fc.nat(odd.rows.length + 100), fc.nat(300), async (from, count) => {
        assert.deepEqual(await read(odd, from, from + count), odd.rows.slice(from, from + count));
      }),
      { numRuns: 300 },
    );
  });

  it('gives many small ranges, each in order, near ones at one go', async () => {
    const reads: number[] = [];
    const source: ByteSource = {
      size: () => odd.source.size(),
      read: (offset, length) => {
        reads.push(offset);
        return odd.source.read(offset, length);
      },
    };
    const ranges = [3, 50, 51, 700, 900, odd.rows.length - 2].map((from) => ({ from, to: from + 2 }));
    const rows: Row[] = [];
    await readRowRanges(source, header, odd.index, [...ranges].reverse(), gather(rows));
    assert.deepEqual(
      rows,
      ranges.flatMap(({ from, to }) => odd.rows.slice(from, to)),
    );
    assert.equal(reads.length, 1);
  });

  it('gives a last row that the full pass held back to the end', async () => {
    const log = indexed(header, '0,0,1\n1,0,1\n500,0,1\n');
    assert.equal(log.rows.length, 3);
    assert.deepEqual(await read(log, 0, 3), log.rows);
  });

  it('keeps ISO time relative to the first row of the log', async () => {
    const iso = headerOf(['time:string', 'layer', 'a']);
    const start = Date.parse('2026-03-02T18:04:00Z');
    const body = Array.from({ length: 300 }, (_, i) => `${new Date(start + 137 * i).toISOString()},0,${i}\n`).join('');
    const log = indexed(iso, body);
    assert.deepEqual(await read(log, 150, 170), log.rows.slice(150, 170));
    assert.equal(log.rows[150]!.values[0], 20.55);
  });

  it('finds the row of a time, a line and a number', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.nat(odd.rows.length - 1),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        async (row, later) => {
          const { line, offset, values } = odd.rows[row]!;
          const place = { row, line, offset, timeS: values[0]!, layer: values[1]! };
          assert.deepEqual(await placeOfRow(odd.source, header, odd.index, row), place);
          assert.deepEqual(await placeOfLine(odd.source, header, odd.index, line), place);
          assert.deepEqual(await placeOfTime(odd.source, header, odd.index, values[0]! + later), place);
        },
      ),
      { numRuns: 200 },
    );
    assert.equal((await placeOfTime(odd.source, header, odd.index, -5))?.row, 0);
    assert.equal((await placeOfLine(odd.source, header, odd.index, 1))?.row, 0);
    assert.equal((await placeOfTime(odd.source, header, odd.index, 1e9))?.row, odd.rows.length - 1);
    assert.equal(await placeOfRow(odd.source, header, odd.index, odd.rows.length), undefined);
  });

  it('gives lines as they stand, header included', async () => {
    const lines = new TextDecoder().decode(odd.bytes).replaceAll('\r\n', '\n').split('\n').slice(0, -1);
    for (const from of [1, 2, 3, 40, 700, lines.length - 1, lines.length + 5]) {
      assert.deepEqual(await readLines(odd.source, odd.index, from, 9), lines.slice(from - 1, from + 8));
    }
  });

  it('cuts a huge line in an excerpt', async () => {
    const log = indexed(header, `0,0,1\n${'9'.repeat(1_000_000)}\n1,0,1\n`);
    const [huge, next] = await readLines(log.source, log.index, 4, 2);
    assert.equal(huge!.length, 64 * 1024 + 1);
    assert.ok(huge!.endsWith('…'));
    assert.equal(next, '1,0,1');
  });

  it('tells that the log has changed instead of giving other rows', async () => {
    const changed = async (bytes: Uint8Array): Promise<void> =>
      readRows(memorySource(bytes), header, odd.index, 500, odd.rows.length, () => undefined);
    const shifted = odd.bytes.slice(1);
    const cut = odd.bytes.slice(0, odd.index.entryBefore(550)!.offset);
    const edited = odd.bytes.slice();
    edited[odd.rows[512]!.offset] = 0x37;
    const withHalf = odd.rows.findIndex(
      ({ row, values }) => row > 500 && row % rowsPerEntry === 0 && values[0]! % 1 === 0.5,
    );
    const nudged = odd.bytes.slice();
    nudged[odd.bytes.indexOf(0x35, odd.bytes.indexOf(0x2e, odd.rows[withHalf]!.offset))] = 0x36;
    for (const bytes of [shifted, cut, edited, nudged]) await assert.rejects(changed(bytes), LogChangedError);
  });
});

describe('line index', () => {
  it('is small: less than a hundredth of a wide log', () => {
    const bytesPerRow = 760;
    const { index, rows } = odd;
    assert.ok(index.save().entries.byteLength < 0.01 * bytesPerRow * rows.length);
  });

  it('gives entries every 64 rows and the place of each layer', () => {
    const { index, rows } = odd;
    for (let e = 0; e < index.entryCount; e++) {
      const { line, offset, values } = rows[e * rowsPerEntry]!;
      assert.deepEqual(index.entry(e), { row: e * rowsPerEntry, line, offset, timeS: values[0]!, layer: values[1]! });
    }
    const starts = rows.filter(({ values }, i) => values[1] !== rows[i - 1]?.values[1]);
    assert.deepEqual(
      index.layerStarts,
      starts.map(({ row, line, values }) => ({ layer: values[1]!, row, line, timeS: values[0]! })),
    );
    for (const { row, values } of rows) assert.equal(index.layerAtRow(row)!.layer, values[1]);
  });

  it('goes on after save and restore', () => {
    const block = emptyBlock(3, rowsPerEntry);
    const fill = (first: number): RowBlock => {
      block.rows = rowsPerEntry;
      block.firstRow = first;
      for (let row = 0; row < rowsPerEntry; row++) {
        block.columns[0]![row] = first + row;
        block.columns[1]![row] = Math.floor((first + row) / 100);
        block.lines[row] = first + row + 1;
        block.offsets[row] = 10 * (first + row);
      }
      return block;
    };
    const options = { timeColumn: 0, layerColumn: 1 };
    const whole = new LineIndex(options);
    for (let b = 0; b < 6; b++) whole.add(fill(b * rowsPerEntry));

    const half = new LineIndex(options);
    for (let b = 0; b < 3; b++) half.add(fill(b * rowsPerEntry));
    const resumed = new LineIndex(options);
    resumed.restore(structuredClone(half.save()));
    for (let b = 3; b < 6; b++) resumed.add(fill(b * rowsPerEntry));
    assert.deepEqual(resumed.save(), whole.save());
  });

  it('refuses a block out of order', () => {
    const block = emptyBlock(1, 1);
    block.rows = 1;
    block.firstRow = 5;
    assert.throws(() => new LineIndex({ timeColumn: 0 }).add(block), /got row 5, expected 0/);
  });
});
