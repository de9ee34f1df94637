import assert from 'node:assert/strict';
import { PyramidBuilder } from '../../../src/core/display/pyramid/pyramid.ts';
import { pixelColumns, sketchColumns } from '../../../src/core/display/pyramid/window.ts';
import { emptySummary } from '../../../src/messages/analysis.ts';
import type { LogSummary, WindowReply, WindowRequest } from '../../../src/messages/analysis.ts';
import type { App } from '../../../webview/app.ts';
import { firstChoices } from '../../../webview/choices.ts';
import { MapScale } from '../../../webview/map/mapScale.ts';

const rows = 40_000;
const usual = 100;
const wild = 1e6;

/** A wave of +-100 with one wild row, and the answers that an analysis gives of it. */
function log() {
  const time = Float64Array.from({ length: rows }, (_, row) => row);
  const values = time.map((row) => usual * Math.sin(row / 50));
  values[12_345] = wild;
  const builder = new PyramidBuilder(2, 16, [0, 0]);
  builder.push([time, values], rows, 0);
  const [times, levels] = builder.finish();
  const source = {
    times: times!,
    series: [{ levels: levels!, scale: 1 }],
    readRows: (ranges: readonly { from: number; to: number }[]) =>
      Promise.resolve(
        ranges.map(({ from, to }) => ({ timeS: time.slice(from, to), values: [values.slice(from, to)] })),
      ),
  };
  return async ({ fromS, toS, pixels, quick }: WindowRequest): Promise<WindowReply> => {
    const drawn = quick ? sketchColumns(source, fromS, toS, pixels) : await pixelColumns(source, fromS, toS, pixels);
    return { ...drawn, layers: [] };
  };
}

function summary(over: Partial<LogSummary>): LogSummary {
  const series = [{ id: 'A_e1', cell: 0, plane: 0, quantity: 'e1', title: 'e1', unitLabel: '' }];
  return { ...emptySummary('a'), startS: 0, endS: rows - 1, series, ...over };
}

function opened(first: LogSummary) {
  const app = {
    summary: first,
    choices: { now: { ...firstChoices, plane: 0 } },
    host: { calls: { window: log() } },
  };
  const scale = new MapScale(app as unknown as App, () => undefined);
  const pair = (size: number) => [{ cell: 0, first: size, second: 0, dirDeg: 0, dirErrorDeg: 0 }];
  const draw = async (size: number): Promise<number> => {
    scale.largest(pair(size), 1);
    await new Promise((done) => setTimeout(done, 20));
    return scale.largest(pair(size), 1);
  };
  return { app, draw };
}

const near = (size: number): void => assert.ok(size > 0.95 * usual && size <= usual, `got ${size}`);

describe('the scale of the map that is sought in the rows', () => {
  it('is not decided by one wild row while the log is under way, when extremes only are known', async () => {
    const { draw } = opened(summary({ state: 'drawn' }));
    near(await draw(1));
  });

  it('lets go of what was drawn of a log less well known', async () => {
    const { app, draw } = opened(summary({ state: 'drawn' }));
    assert.equal(await draw(5 * usual), 5 * usual);
    app.summary = summary({ state: 'complete' });
    near(await draw(1));
    assert.equal(await draw(3 * usual), 3 * usual, 'a larger value seen later widens it');
    assert.equal(await draw(1), 3 * usual, 'and it stays the same from moment to moment');
  });

  it('begins again where zero is the mean of another datum window', async () => {
    const datum = (fromS: number): LogSummary['datum'] => ({ fromS, toS: fromS + 9 }) as LogSummary['datum'];
    const { app, draw } = opened(summary({ state: 'complete', datum: datum(0) }));
    assert.equal(await draw(4 * usual), 4 * usual);
    app.summary = summary({ state: 'complete', datum: datum(50) });
    near(await draw(1));
  });
});
