// One row of the table per layer: of each series the layer's mean, and how fast the means have risen over the last layers,
// per layer, with its standard error.
import type { LogBasis } from '../../core/pipeline/logHead.ts';
import { LayerMeans, slopeLayers } from '../../core/strain/layerRate.ts';
import type { LayerRow } from '../../core/strain/layerRate.ts';
import { SeriesValues } from '../../core/strain/seriesValues.ts';
import type { SickSpell } from '../../core/strain/sickSpell.ts';
import type { RowBlock } from '../../core/table/rowBlock.ts';
import { blockCapacityFor } from '../../core/table/rowBlock.ts';
import { columnOf, wantedSeries } from './deriveColumns.ts';
import type { Table, TableColumn, TableRows } from './deriveColumns.ts';

export class LayerTable implements Table {
  readonly columns: readonly TableColumn[];
  readonly #values: SeriesValues;
  readonly #means: LayerMeans;
  readonly #time: number;
  readonly #layer: number;

  /** The header must have layers. */
  constructor({ header, layouts, context }: LogBasis, suffixes: readonly string[], sick: readonly SickSpell[]) {
    const series = wantedSeries(header, suffixes);
    const ids = series.map(({ id }) => id);
    const capacity = blockCapacityFor(header.columns.length);
    this.#values = new SeriesValues(header, layouts, context, ids, capacity, sick);
    this.#means = new LayerMeans(ids.length);
    this.#time = header.roles.time;
    this.#layer = header.roles.layer;
    this.columns = [
      { name: 'layer', unit: '', title: 'layer of the build', integer: true },
      { name: 'time', unit: 's', title: 'time of its first row', integer: false },
      { name: 'rows', unit: '', title: 'rows in the layer', integer: true },
      ...series.flatMap((entry) => withRate(columnOf(entry, header))),
    ];
  }

  push(rows: RowBlock): TableRows {
    const values = this.#values.compute(rows);
    const [time, layer] = [rows.columns[this.#time]!, rows.columns[this.#layer]!];
    const done: LayerRow[] = [];
    for (let row = 0; row < rows.rows; row++) {
      const finished = this.#means.push(layer[row]!, time[row]!, values, row);
      if (finished) done.push(finished);
    }
    return this.#table(done);
  }

  finish(): TableRows {
    const last = this.#means.finish();
    return this.#table(last ? [last] : []);
  }

  #table(layers: readonly LayerRow[]): TableRows {
    const rows = layers.map(({ layer, timeS, rows: count, means, slopes }) => [
      ...[layer, timeS, count],
      ...means.flatMap((mean, s) => [mean, slopes[s]!.slope, slopes[s]!.error]),
    ]);
    return { columns: this.columns.map((_, c) => Float64Array.from(rows, (row) => row[c]!)), rows: rows.length };
  }
}

function withRate({ name, unit, title }: TableColumn): TableColumn[] {
  const rise = `rise per layer of ${title}, over the last ${slopeLayers} layers`;
  return [
    { name, unit, title: `mean over the layer: ${title}`, integer: false },
    { name: `${name}_rate`, unit, title: rise, integer: false },
    { name: `${name}_rate_err`, unit, title: `standard error of the ${rise}`, integer: false },
  ];
}
