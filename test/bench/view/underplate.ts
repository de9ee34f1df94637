// Ours: pyramid once, then exact pixel columns of the window for all cells in one request, drawn as in the page.
import { PyramidBuilder, bucketRowsFor } from '../../../src/core/display/pyramid/pyramid.ts';
import {
  pixelColumns,
  quickColumns,
  type DrawnWindow,
  type WindowSource,
} from '../../../src/core/display/pyramid/window.ts';
import { CanvasPlot } from '../../../webview/plots/canvasPlot.ts';
import { appliedTheme } from '../../../webview/theme.ts';
import { cells, channelsPerCell, hosts, makePlate, offer, plotWidthPx, type PlateRows } from './plate.ts';

const quick = new URLSearchParams(location.search).get('quick') === 'yes';
const blockRows = 4096;
let source: WindowSource;
let plots: CanvasPlot[] = [];

function build(plate: PlateRows): WindowSource {
  const count = plate.channels.length;
  // A reading takes some seven bytes in a log.
  const builder = new PyramidBuilder(count + 1, bucketRowsFor(7 * (count + 1), count + 1));
  const block = Array.from({ length: count + 1 }, () => new Float64Array(blockRows));
  for (let from = 0; from < plate.rows; from += blockRows) {
    const rows = Math.min(blockRows, plate.rows - from);
    block[0]!.set(plate.timeS.subarray(from, from + rows));
    plate.channels.forEach((channel, i) => block[i + 1]!.set(channel.subarray(from, from + rows)));
    builder.push(block, rows, from);
  }
  const [times, ...levels] = builder.finish();
  return {
    times: times!,
    series: levels.map((one) => ({ levels: one, scale: 1 })),
    readRows: (ranges) =>
      Promise.resolve(
        ranges.map(({ from, to }) => ({
          timeS: plate.timeS.subarray(from, to),
          values: plate.channels.map((channel) => Float64Array.from(channel.subarray(from, to))),
        })),
      ),
  };
}

function show({ columns, timeS, values }: DrawnWindow, fromS: number, toS: number): void {
  plots.forEach((plot, cell) => {
    const own = values.slice(cell * channelsPerCell, (cell + 1) * channelsPerCell);
    const lines = own.map((one, order) => ({ series: '', errorSeries: '', title: '', values: one, order }));
    plot.show({ columns, fromS, toS, timeS, lines, behind: [], axial: false });
  });
}

offer({
  prepare: (rows) => {
    const plate = makePlate(rows);
    const start = performance.now();
    source = build(plate);
    const took = performance.now() - start;
    const theme = appliedTheme();
    const still = { onHover: () => undefined, onPick: () => undefined, onZoom: () => undefined };
    plots = hosts().map((host) => new CanvasPlot(host, theme, true, still));
    if (plots.length !== cells) throw new Error(`expected ${cells} plots, got ${plots.length}`);
    return Promise.resolve(took);
  },
  draw: async (fromS, toS) => {
    const ask = quick ? quickColumns : pixelColumns;
    show(await ask(source, fromS, toS, plotWidthPx), fromS, toS);
  },
});
