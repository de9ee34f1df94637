// Windows of a log's series against the rows themselves: every pixel column has the true first, extremes and last.
import assert from 'node:assert/strict';
import { pixelColumns, quickColumns } from '../../../src/core/display/pyramid/window.ts';
import { SeriesWindows } from '../../../src/core/pipeline/windowSource.ts';
import { analyse, Session } from '../../../src/core/session.ts';
import { SeriesValues } from '../../../src/core/strain/seriesValues.ts';
import { memorySource } from '../../support/memorySource.ts';
import { readRows } from '../../../src/core/table/rowReader.ts';
import { sampleScenario, simulateBuild } from '../../support/simulatedBuild.ts';

const bytes = new TextEncoder().encode(simulateBuild(sampleScenario('release')).text);
/** A raw column, a quantity with a pyramid, two without; a direction is checked in display's own tests. */
const ids = ['A1_up_0', 'A1_up_e1', 'A1_up_vm', 'B2_up_s2'];

/** Times and values of all rows, the plain way. */
async function allRows(session: Session): Promise<{ timeS: number[]; values: number[][] }> {
  const { header, layouts, context } = session.basis!;
  const values = new SeriesValues(header, layouts, context, ids, 4096);
  const all = { timeS: [] as number[], values: ids.map(() => [] as number[]) };
  await readRows(memorySource(bytes), header, session.index!, 0, session.rows, (block) => {
    all.timeS.push(...block.columns[header.roles.time]!.subarray(0, block.rows));
    values.compute(block).forEach((column, i) => all.values[i]!.push(...column.subarray(0, block.rows)));
  });
  return all;
}

describe('series windows', () => {
  const session = analyse(bytes);

  for (const [fromS, toS, pixels] of [
    [0, 2733, 60],
    [500, 2000, 33],
    [1700, 1760, 100],
  ] as const) {
    it(`from ${fromS} s to ${toS} s on ${pixels} pixels show the rows' own first, extremes and last`, async () => {
      const rows = await allRows(session);
      const source = await new SeriesWindows(session, memorySource(bytes)).source(ids);
      const drawn = await pixelColumns(source, fromS, toS, pixels);
      assert.equal(drawn.exact, true);
      if (drawn.columns === 0) {
        const inside = rows.timeS.filter((t) => t >= fromS && t <= toS);
        assert.ok(inside.every((t) => drawn.timeS.includes(t)));
        return;
      }
      const width = (toS - fromS) / pixels;
      const inColumn = (t: number): number => Math.min(pixels - 1, Math.floor((t - fromS) / width));
      ids.forEach((id, i) => {
        for (let column = 0; column < drawn.columns; column++) {
          const at = inColumn(drawn.timeS[4 * column]!);
          const own = rows.values[i]!.filter((_, row) => {
            const t = rows.timeS[row]!;
            return t >= fromS && t <= toS && inColumn(t) === at;
          });
          const four = [...drawn.values[i]!.subarray(4 * column, 4 * column + 4)];
          // What is stored in float32 is rounded outwards by at most its relative precision about the series' base.
          const slack = 1e-6 * Math.max(1, Math.max(...own) - Math.min(...own));
          assert.equal(four[0], own[0], `${id} first of column ${at}`);
          assert.equal(four[3], own.at(-1), `${id} last of column ${at}`);
          assert.ok(Math.abs(Math.min(...four) - Math.min(...own)) <= slack, `${id} minimum of column ${at}`);
          assert.ok(Math.abs(Math.max(...four) - Math.max(...own)) <= slack, `${id} maximum of column ${at}`);
        }
      });
    });
  }

  it('are sketched at once: what would need the log to be read again is left out until the exact answer', async () => {
    let bytesRead = 0;
    const file = memorySource(bytes);
    const counted = {
      ...file,
      read: (offset: number, length: number) => {
        bytesRead += length;
        return file.read(offset, length);
      },
    };
    const windows = new SeriesWindows(session, counted);
    const sketch = await quickColumns(await windows.source(ids), 0, 2733, 60);
    assert.equal(bytesRead, 0);
    assert.equal(sketch.exact, false);
    const known = (column: Float64Array): boolean => column.some((value) => !Number.isNaN(value));
    assert.deepEqual(sketch.values.map(known), [true, true, false, false]);
    const exact = await pixelColumns(await windows.source(ids), 0, 2733, 60);
    assert.deepEqual(exact.values.map(known), [true, true, true, true]);
    const later = await quickColumns(await windows.source(ids), 0, 2733, 60);
    assert.deepEqual(later.values.map(known), [true, true, true, true]);
  });

  it("show the detector's statistic above its threshold where an event was told, and not before", async () => {
    const event = session.events.find(({ nature }) => nature === 'mechanical')!;
    const cell = session.basis!.header.cells[event.cells[0]!.cell]!.name;
    const source = await new SeriesWindows(session, memorySource(bytes)).source([
      `${cell}_statistic`,
      `${cell}_threshold`,
    ]);
    const about = await pixelColumns(source, event.timeS - 60, event.detectedTimeS + 60, 10);
    const [statistic, threshold] = about.values;
    assert.ok(statistic!.some((value, i) => value > threshold![i]!));
    const before = await pixelColumns(source, event.timeS - 600, event.timeS - 300, 10);
    assert.ok(before.values[0]!.every((value, i) => !(value > before.values[1]![i]!)));
  });

  it('of a growing log go on where they were', async () => {
    const cut = bytes.indexOf(10, Math.floor(bytes.length * 0.7)) + 1;
    const growing = new Session({ settings: {} });
    growing.push(bytes.subarray(0, cut));
    growing.flush();
    const windows = new SeriesWindows(growing, memorySource(bytes));
    await Promise.all([windows.source(['A1_up_vm']), windows.source(['A1_up_vm', 'B2_up_s2'])]);
    growing.push(bytes.subarray(cut));
    growing.flush();
    const drawn = await pixelColumns(await windows.source(ids), 0, 2733, 60);
    const whole = await pixelColumns(await new SeriesWindows(session, memorySource(bytes)).source(ids), 0, 2733, 60);
    assert.deepEqual(drawn, whole);
  });

  it('of a series that the log does not offer are refused by name', async () => {
    const windows = new SeriesWindows(session, memorySource(bytes));
    await assert.rejects(windows.source(['Z9_up_e1']), /no series named 'Z9_up_e1'/);
  });
});
