// The work of some cells of the plate on one row block after another: readings to strain, change detection, display
// pyramid. This is the unit that is dealt out to threads: nothing in it depends on other cells or on block boundaries.
import { CellDetector } from '../change/cellDetector.ts';
import type { CellDetectorState } from '../change/cellDetectorState.ts';
import type { WatchedStatistic } from '../change/cellDetector.ts';
import type { CellFinding } from '../change/findings.ts';
import { PyramidBuilder } from '../display/pyramid.ts';
import type { Pyramid, PyramidState } from '../display/pyramid.ts';
import { seriesName } from '../display/quantities.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { CellStrain } from '../strain/cellStrain.ts';
import type { RosetteBlock } from '../strain/cellBlock.ts';
import type { CellLayout, Rosette } from '../strain/layout.ts';
import { hasTensor } from '../strain/seriesCatalog.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { watched } from './watchedSeries.ts';

/** The quantities of a rosette that have a pyramid; all others are computed from rows read again. */
const rosetteSeries = ['ex', 'ey', 'gxy', 'e1', 'e2', 'dir'] as const satisfies readonly (keyof RosetteBlock)[];

export interface CellShare {
  /** Cells of this share, ascending. */
  readonly cells: readonly number[];
  /** Raw columns of this share that belong to no cell: time, plate temperature, columns that no channel names. */
  readonly plateColumns: readonly number[];
}

export interface CellWorkOptions {
  readonly header: LogHeader;
  readonly layouts: readonly CellLayout[];
  readonly context: StrainContext;
  readonly share: CellShare;
  /** Most rows a block can have. */
  readonly capacity: number;
  /** Rows per finest bucket of the pyramid; 0 for no pyramid. */
  readonly bucketRows: number;
}

/** Plain data: crosses threads, is kept in the index. */
export interface CellWorkState {
  readonly detectors: readonly CellDetectorState[];
  readonly pyramid: PyramidState | undefined;
}

/** The raw columns and rosette quantities that a share keeps a pyramid of, by series name, in storage order. */
export function pyramidSeries(header: LogHeader, layouts: readonly CellLayout[], share: CellShare): string[] {
  const names = share.plateColumns.map((column) => header.columns[column]!.name);
  for (const cell of share.cells) {
    const cellName = header.cells[cell]!.name;
    for (const column of columnsOfCell(header, cell)) names.push(header.columns[column]!.name);
    for (const rosette of tensorRosettes(header, layouts[cell]!)) {
      const plane = header.planes[rosette.plane]?.name ?? '';
      for (const suffix of rosetteSeries) names.push(seriesName(cellName, plane, suffix));
    }
    if (layouts[cell]!.rosettes.length > 0) {
      for (const { suffix } of watched) names.push(seriesName(cellName, '', suffix));
    }
  }
  return names;
}

/** All shares of a plate: cells dealt out, columns of no cell to the first share. */
export function sharesOf(header: LogHeader, deal: readonly (readonly number[])[]): CellShare[] {
  const ofCells = new Set(header.cells.flatMap((_, cell) => columnsOfCell(header, cell)));
  const numeric = (column: number): boolean => header.columns[column]!.datatype !== 'string';
  const plateColumns = header.columns
    .map((_, column) => column)
    .filter((column) => !ofCells.has(column) && (column === header.roles.time || numeric(column)));
  return deal.map((cells, index) => ({ cells, plateColumns: index === 0 ? plateColumns : [] }));
}

function columnsOfCell(header: LogHeader, cell: number): number[] {
  return header.channels.filter((channel) => channel.cell === cell).map((channel) => channel.column);
}

function tensorRosettes(header: LogHeader, layout: CellLayout): Rosette[] {
  return layout.rosettes.filter((rosette) => hasTensor(header, rosette));
}

interface CellTools {
  readonly strain: CellStrain;
  readonly detector: CellDetector;
  readonly columns: readonly number[];
  /** Indices of the rosettes that have a tensor. */
  readonly rosettes: readonly number[];
  /** Undefined where nothing is drawn, or nothing is watched. */
  readonly statistic: WatchedStatistic | undefined;
}

export class CellWork {
  readonly #tools: readonly CellTools[];
  readonly #builder: PyramidBuilder | undefined;
  readonly #share: CellShare;
  /** The columns of the block at hand, in the order of `pyramidSeries`. */
  readonly #series: Float64Array[] = [];

  constructor(options: CellWorkOptions, state?: CellWorkState) {
    const { header, layouts, context, share, capacity, bucketRows } = options;
    this.#share = share;
    this.#tools = share.cells.map((cell, index) => {
      const layout = layouts[cell]!;
      const detector = state
        ? CellDetector.restore(header, layout, context, state.detectors[index]!)
        : new CellDetector(header, layout, context);
      return {
        // Detection works on the fibres' own strain; tensors are only drawn.
        strain: new CellStrain(header, layout, context, capacity, { tensors: bucketRows > 0 }),
        detector,
        columns: columnsOfCell(header, cell),
        rosettes: tensorRosettes(header, layout).map((rosette) => layout.rosettes.indexOf(rosette)),
        statistic: bucketRows > 0 && layout.rosettes.length > 0 ? detector.watch(capacity) : undefined,
      };
    });
    if (bucketRows > 0) this.#builder = pyramidBuilder(options, state?.pyramid);
  }

  get pyramid(): Pyramid {
    return this.#builder?.finish() ?? [];
  }

  push(rows: RowBlock): void {
    const series = this.#series;
    series.length = 0;
    for (const column of this.#share.plateColumns) series.push(rows.columns[column]!);
    for (const { strain, detector, columns, rosettes, statistic } of this.#tools) {
      const cell = strain.convert(rows);
      detector.push(cell, rows);
      for (const column of columns) series.push(rows.columns[column]!);
      for (const rosette of rosettes) {
        for (const suffix of rosetteSeries) series.push(cell.rosettes[rosette]![suffix]);
      }
      if (statistic) for (const { suffix } of watched) series.push(statistic[suffix]);
    }
    this.#builder?.push(series, rows.rows, rows.firstRow);
  }

  /** What the cells of this share have found since the last call, in the order in which it became known. */
  take(): CellFinding[] {
    const findings = this.#tools.flatMap(({ detector }) => detector.take());
    return findings.sort((a, b) => a.knownRow - b.knownRow || a.cell - b.cell);
  }

  finish(): void {
    for (const { detector } of this.#tools) detector.finish();
  }

  save(): CellWorkState {
    return { detectors: this.#tools.map(({ detector }) => detector.save()), pyramid: this.#builder?.save() };
  }
}

function pyramidBuilder(options: CellWorkOptions, state: PyramidState | undefined): PyramidBuilder {
  if (state) return PyramidBuilder.restore(state);
  const names = pyramidSeries(options.header, options.layouts, options.share);
  const periods = names.map((name) => (name.endsWith('_dir') && !isColumn(options.header, name) ? Math.PI : 0));
  return new PyramidBuilder(names.length, options.bucketRows, periods);
}

function isColumn(header: LogHeader, name: string): boolean {
  return header.columns.some((column) => column.name === name);
}
