// uPlot by itself, fed with every row.
import uPlot from 'uplot';
import { channelsPerCell, hosts, makePlate, offer, plotHeightPx, plotWidthPx, type PlateRows } from './plate.ts';

let plate: PlateRows;
let plots: uPlot[] = [];

function start(): void {
  plots = hosts().map((host, cell) => {
    const own = plate.channels.slice(cell * channelsPerCell, (cell + 1) * channelsPerCell);
    const series = own.map((_, i) => ({
      stroke: ['#1d63c4', '#a85500', '#2a7a4f'][i]!,
      width: 1,
      points: { show: false },
    }));
    return new uPlot(
      {
        width: plotWidthPx,
        height: plotHeightPx,
        legend: { show: false },
        axes: [{ show: false }, { show: false }],
        scales: { x: { time: false } },
        series: [{}, ...series],
      },
      [plate.timeS, ...own] as unknown as uPlot.AlignedData,
      host,
    );
  });
}

offer({
  prepare: (rows) => {
    plate = makePlate(rows);
    return Promise.resolve(0);
  },
  draw: (fromS, toS) => {
    if (plots.length === 0) start();
    for (const plot of plots) plot.setScale('x', { min: fromS, max: toS });
    return Promise.resolve();
  },
});
