// Apache ECharts, fed with every row, with its own min-max sampling and without animation.
import { LineChart } from 'echarts/charts';
import { DataZoomComponent, GridComponent } from 'echarts/components';
import { init, use, type EChartsType } from 'echarts/core';
import { CanvasRenderer } from 'echarts/renderers';
import { channelsPerCell, hosts, makePlate, offer, plotHeightPx, plotWidthPx, type PlateRows } from './plate.ts';

use([LineChart, GridComponent, DataZoomComponent, CanvasRenderer]);

let plate: PlateRows;
let charts: EChartsType[] = [];

/** Pairs in one flat array: the library's fastest form. */
function pairs(channel: Float32Array): Float64Array {
  const out = new Float64Array(2 * channel.length);
  for (let row = 0; row < channel.length; row++) {
    out[2 * row] = plate.timeS[row]!;
    out[2 * row + 1] = channel[row]!;
  }
  return out;
}

function start(): void {
  charts = hosts().map((host, cell) => {
    const chart = init(host, null, { width: plotWidthPx, height: plotHeightPx });
    const own = plate.channels.slice(cell * channelsPerCell, (cell + 1) * channelsPerCell);
    chart.setOption({
      animation: false,
      grid: { left: 2, right: 2, top: 2, bottom: 2 },
      xAxis: { type: 'value', show: false, min: 'dataMin', max: 'dataMax' },
      yAxis: { type: 'value', show: false, scale: true },
      dataZoom: [{ type: 'inside', filterMode: 'filter' }],
      series: own.map((channel) => ({
        type: 'line',
        data: pairs(channel),
        dimensions: ['x', 'y'],
        showSymbol: false,
        sampling: 'minmax',
        lineStyle: { width: 1 },
      })),
    });
    return chart;
  });
}

offer({
  prepare: (rows) => {
    plate = makePlate(rows);
    return Promise.resolve(0);
  },
  draw: (fromS, toS) => {
    if (charts.length === 0) start();
    for (const chart of charts) chart.dispatchAction({ type: 'dataZoom', startValue: fromS, endValue: toS });
    return Promise.resolve();
  },
});
