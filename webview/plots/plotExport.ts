// Taking plots away: picture (SVG, PNG), the shown rows (CSV), and code that loads this window (pandas).
import { clock } from '../../src/core/display/numberFormat.ts';
import { svg, svgText, type SvgNode } from '../../src/core/display/svg/svg.ts';
import { quantityOf } from '../../src/core/display/quantities.ts';
import { timePlot } from '../../src/core/display/plot/svgPlot.ts';
import { pictureGround, titledPicture } from '../../src/core/display/svg/titledPicture.ts';
import type { PlotBands } from '../../src/core/display/plot/svgPlot.ts';
import { pandasCode, windowCsv } from '../../src/core/display/pyramid/windowExport.ts';
import type { App } from '../app.ts';
import { button } from '../controls.ts';
import { bandName } from '../goodBuilds/goodBuildBand.ts';
import { headOf, savePng, saveText } from '../save.ts';
import type { CanvasData, CanvasPlot } from './canvasPlot.ts';
import type { QuantityGroup } from './quantityGroups.ts';

type Drawn = readonly { readonly group: QuantityGroup; readonly plot: CanvasPlot }[];

const widthPx = 960;
const heightPx = 260;

export function exportButtons(app: App, drawn: () => Drawn): HTMLElement[] {
  const series = (): string[] => drawn().flatMap(({ group }) => group.lines.map((line) => line.series));
  return [
    button('SVG', 'Save these plots as an SVG picture', () =>
      saveText(app, 'plots.svg', 'image/svg+xml', svgText(picture(app, drawn()))),
    ),
    button(
      'PNG',
      'Save these plots as a PNG picture',
      () => void app.attempt(() => savePng(app, 'plots.png', picture(app, drawn()))),
    ),
    button('CSV', 'Save the rows of the shown window', () => void app.attempt(() => saveCsv(app, series()))),
    button('pandas code', 'Copy Python code that loads exactly this window', () => copyPandas(app, series())),
  ];
}

function picture(app: App, drawn: Drawn): SvgNode {
  const { fromS, toS } = app.window;
  const { cell, plane } = app.choices.now;
  const shown = drawn.flatMap(({ group, plot }) => (plot.data ? [{ group, data: plot.data }] : []));
  const plots = shown.map(({ group, data }, row) =>
    svg('g', { transform: `translate(0 ${row * heightPx})` }, [plotDrawing(app, group, data)]),
  );
  const { name = '', header } = app.summary ?? {};
  const where = [app.cellName(cell), app.planeName(plane)].filter((text) => text !== '').join(', plane ');
  const what = `Cell ${where}, ${clock(fromS)} to ${clock(toS)}`;
  return titledPicture(
    [headOf(name, header?.build.name ?? ''), what],
    plots,
    widthPx,
    heightPx * Math.max(1, plots.length),
  );
}

function plotDrawing(app: App, group: QuantityGroup, data: CanvasData): SvgNode {
  const { timeS, lines, behind, behindName = '', axial, note, range } = data;
  const { cursorS, cell } = app.choices.now;
  const { fromS, toS } = app.window;
  return timePlot({
    title: `${app.cellName(cell)}: ${group.title}`,
    unitLabel: group.unitLabel,
    lines: [
      ...behind.map((line) => ({ title: behindName, behind: true, ...line })),
      ...lines.map(({ title, values, errors }) => ({ title, timeS, values, errors })),
    ],
    fromS,
    toS,
    widthPx,
    heightPx,
    ground: pictureGround,
    axial,
    note,
    range,
    goodBuilds: goodBuildsOf(app, data),
    events: app.summary?.events ?? [],
    markS: cursorS >= fromS && cursorS <= toS ? cursorS : undefined,
  });
}

function goodBuildsOf({ goodBuilds }: App, { bands = [], lines }: CanvasData): PlotBands | undefined {
  if (!goodBuilds) return undefined;
  const lineOf = (id: string): number => lines.find(({ series }) => series === id)?.order ?? 0;
  return {
    title: bandName(goodBuilds),
    bands: bands.map((band) => ({ band, line: lineOf(band.series) })),
  };
}

async function saveCsv(app: App, series: readonly string[]): Promise<void> {
  const { fromS, toS } = app.window;
  const pieces = await rowsOf(app, series, fromS, toS);
  const all = app.summary?.series ?? [];
  // A drawing lays directions side by side across 180 degrees; a file has them in [0, 180).
  const axial = new Set(all.filter(({ quantity }) => quantityOf(quantity)?.axial).map(({ id }) => id));
  const units = new Map(app.summary?.series.map(({ id, unitLabel }) => [id, unitLabel]));
  const columns = series.map((id, i) => ({
    id,
    unitLabel: units.get(id) ?? '',
    values: pieces.flatMap(({ values }) => [...values[i]!]).map(axial.has(id) ? withinHalfTurn : (value) => value),
  }));
  const timeS = pieces.flatMap((piece) => [...piece.timeS]);
  saveText(app, 'window.csv', 'text/csv', windowCsv({ timeS, series: columns }, fromS, toS));
}

function withinHalfTurn(deg: number): number {
  return ((deg % 180) + 180) % 180;
}

interface RowPiece {
  readonly timeS: Float64Array;
  readonly values: readonly Float64Array[];
}

/** The rows themselves with fromS <= time <= toS: a stretch that is answered in pixel columns is asked for in halves. */
async function rowsOf(app: App, series: readonly string[], fromS: number, toS: number): Promise<RowPiece[]> {
  const { columns, timeS, values } = await app.host.calls.window({ series, fromS, toS, pixels: 16_384 });
  const middle = (fromS + toS) / 2;
  if (columns === 0 || !(middle > fromS && middle < toS)) {
    // Rows come with one more at each end; two halves would share those.
    const inside = (_: number, row: number): boolean => timeS[row]! >= fromS && timeS[row]! <= toS;
    return [{ timeS: timeS.filter(inside), values: values.map((column) => column.filter(inside)) }];
  }
  const left = await rowsOf(app, series, fromS, middle);
  const right = await rowsOf(app, series, nextAfter(middle), toS);
  return [...left, ...right];
}

/** The next larger number, so that no row is in both halves. */
function nextAfter(value: number): number {
  return value + Math.max(Number.MIN_VALUE, Math.abs(value) * 2 ** -52);
}

function copyPandas(app: App, series: readonly string[]): void {
  const { summary } = app;
  if (!summary?.header) return;
  const text = pandasCode({ logName: summary.name, header: summary.header, series, ...app.window });
  app.host.tell({ type: 'copy', text, what: 'pandas code' });
}
