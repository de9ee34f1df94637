// What the view is answered of a cell with a sick channel: windows and states without it, from the moment it fell sick.
import assert from 'node:assert/strict';
import { sickSpells } from '../../src/core/pipeline/sickSpells.ts';
import { analyse, Session } from '../../src/core/session.ts';
import { SeriesValues } from '../../src/core/strain/seriesValues.ts';
import { memorySource } from '../support/memorySource.ts';
import { readRows } from '../../src/core/table/rowReader.ts';
import type { WindowReply } from '../../src/messages/analysis.ts';
import { LogQueries } from '../../src/worker/logQueries.ts';
import { wanderingLog } from '../cli/plateLog.ts';

const rows = 2400;
/** With a pyramid, without one, and of a cell that is well. */
const ids = ['B2_up_e1', 'B2_up_vm', 'A1_up_e1', 'B2_up_45'];

describe('a cell with a channel that wanders, as the view is answered', () => {
  const bytes = new TextEncoder().encode(wanderingLog(rows));
  const source = memorySource(bytes);
  const session = analyse(bytes);
  const [spell, ...others] = sickSpells(session.basis!, session.events);
  const whole = { series: ids, fromS: 0, toS: rows - 1, pixels: 50 };

  async function valuesOfRows(): Promise<number[][]> {
    const { header, layouts, context } = session.basis!;
    const values = new SeriesValues(header, layouts, context, ids, 4096, [spell!]);
    const all: number[][] = ids.map(() => []);
    await readRows(source, header, session.index!, 0, session.rows, (block) => {
      values.compute(block).forEach((column, i) => all[i]!.push(...column.subarray(0, block.rows)));
    });
    return all;
  }

  function checkColumns(reply: WindowReply, truth: readonly number[][]): void {
    const width = (whole.toS - whole.fromS) / whole.pixels;
    assert.equal(reply.columns, whole.pixels);
    ids.forEach((id, i) => {
      for (let column = 0; column < reply.columns; column++) {
        const own = truth[i]!.filter((_, row) => Math.min(whole.pixels - 1, Math.floor(row / width)) === column);
        const four = [...reply.values[i]!.subarray(4 * column, 4 * column + 4)];
        assert.ok(Math.abs(Math.min(...four) - Math.min(...own)) < 1e-3, `${id}, minimum of column ${column}`);
        assert.ok(Math.abs(Math.max(...four) - Math.max(...own)) < 1e-3, `${id}, maximum of column ${column}`);
      }
    });
  }

  it('is drawn exactly without the channel, near and far', async () => {
    assert.deepEqual([others, spell!.name, spell!.effect], [[], 'B2_up_45', 'without']);
    assert.ok(spell!.fromS >= 900 && spell!.fromS < 1200);
    const queries = new LogQueries(session, source, undefined);
    const truth = await valuesOfRows();
    checkColumns(await queries.window(whole), truth);
    const near = await queries.window({ ...whole, fromS: 2000, toS: 2100, pixels: 400 });
    assert.equal(near.columns, 0);
    ids.forEach((id, i) => {
      near.timeS.forEach((t, at) => assert.equal(near.values[i]![at], truth[i]![t], `${id} at ${t}`));
    });
  });

  it('is sketched from all channels until it has been read again', async () => {
    const queries = new LogQueries(session, source, undefined);
    const sketch = await queries.window({ ...whole, quick: true });
    assert.equal(sketch.exact, false);
    assert.ok(sketch.values[0]!.some((value) => !Number.isNaN(value)));
  });

  it('says at every row which channel it is without, and of other cells nothing', async () => {
    const queries = new LogQueries(session, source, undefined);
    const truth = await valuesOfRows();
    for (const row of [100, spell!.fromS - 1, spell!.fromS, rows - 1]) {
      const state = (await queries.state({ row }))!;
      const sick = state.rosettes.flatMap((rosette) => rosette.sick.map(({ name }) => [rosette.cell, name]));
      assert.deepEqual(sick, row >= spell!.fromS ? [[4, 'B2_up_45']] : []);
      assert.ok(Math.abs(state.rosettes[4]!.e1 * 1e6 - truth[0]![row]!) < 1e-9);
    }
  });

  it('says of what is drawn which series are without it, as far as the window reaches into its spell', async () => {
    const queries = new LogQueries(session, source, undefined);
    const said = async (fromS: number, toS: number): Promise<string[][]> => {
      const { sick } = await queries.window({ series: [...ids, 'B2_statistic'], fromS, toS, pixels: 50 });
      return sick!.map((spells) => spells.map(({ name }) => name));
    };
    assert.deepEqual(await said(0, rows - 1), [['B2_up_45'], ['B2_up_45'], [], [], []]);
    assert.deepEqual(await said(0, spell!.fromS - 1), [[], [], [], [], []]);
    assert.deepEqual((await said(spell!.fromS, spell!.fromS + 10)).slice(0, 3), [['B2_up_45'], ['B2_up_45'], []]);
  });

  it('is drawn anew in a log that grows once the channel is found sick', async () => {
    const growing = new Session({ settings: {} });
    const cut = bytes.indexOf(10, Math.floor(bytes.length * 0.36)) + 1;
    growing.push(bytes.subarray(0, cut));
    growing.flush();
    assert.ok(growing.rows < 900);
    const queries = new LogQueries(growing, source, undefined);
    await queries.window(whole);
    assert.deepEqual((await queries.state({ row: 800 }))!.rosettes[4]!.sick, []);
    growing.push(bytes.subarray(cut));
    growing.flush();
    const fresh = await new LogQueries(session, source, undefined).window(whole);
    assert.deepEqual(await queries.window(whole), fresh);
    assert.equal((await queries.state({ row: rows - 1 }))!.rosettes[4]!.sick.length, 1);
  });
});
