// The work of some cells of the plate on one row block after another: readings to strain, change detection, display
// pyramid. This is the unit that is dealt out to threads: nothing in it depends on other cells or on block boundaries.
import { CellDetector } from '../change/cell/cellDetector.ts';
import type { CellDetectorState } from '../change/cell/cellDetectorState.ts';
import type { CellFinding } from '../change/findings.ts';
import type { WatchedStatistic } from '../change/cell/watchedStatistic.ts';
import { PyramidBuilder } from '../display/pyramid/pyramid.ts';
import type { PyramidState, SeriesLevels } from '../display/pyramid/pyramidLevels.ts';
import { seriesName } from '../display/quantities.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { CellStrain } from '../strain/cellStrain.ts';
import type { RosetteBlock } from '../strain/cellBlock.ts';
import type { CellLayout, Rosette } from '../strain/layout.ts';
import { hasTensor } from '../strain/rosette.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { watched } from './watchedSeries.ts';

/** The quantities of a rosette that have a pyramid; all others are computed from rows read again. */
const rosetteSeries = ['ex', 'ey', 'gxy', 'e1', 'e2', 'dir'] as const satisfies readonly (keyof RosetteBlock)[];

/**
 * Everything in one pass; or in one pass what is drawn of readings and strain, and in another what detection finds: it
 * takes many times as long, and plots need not wait for it.
 */
export type WorkPart = 'all' | 'draw' | 'find';

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
  readonly part: WorkPart;
}

/** Plain data: crosses threads, is kept in the index. */
export interface CellWorkState {
  /** None where only drawn. */
  readonly detectors: readonly CellDetectorState[];
  /** Of `drawnSeries`, and of `foundSeries`; undefined where nothing is drawn, or in the pass that is for the other. */
  readonly pyramid: PyramidState | undefined;
  readonly watched: PyramidState | undefined;
}

/** All series that a share keeps a pyramid of. */
export function pyramidSeries(header: LogHeader, layouts: readonly CellLayout[], share: CellShare): string[] {
  return [...drawnSeries(header, layouts, share), ...foundSeries(header, layouts, share)];
}

/** The raw columns and rosette quantities of a share, by series name, in storage order. */
function drawnSeries(header: LogHeader, layouts: readonly CellLayout[], share: CellShare): string[] {
  const names = share.plateColumns.map((column) => header.columns[column]!.name);
  for (const cell of share.cells) {
    const cellName = header.cells[cell]!.name;
    for (const column of columnsOfCell(header, cell)) names.push(header.columns[column]!.name);
    for (const rosette of tensorRosettes(header, layouts[cell]!)) {
      const plane = header.planes[rosette.plane]?.name ?? '';
      for (const suffix of rosetteSeries) names.push(seriesName(cellName, plane, suffix));
    }
  }
  return names;
}

/** The series that only detection can give. */
function foundSeries(header: LogHeader, layouts: readonly CellLayout[], share: CellShare): string[] {
  const cells = share.cells.filter((cell) => layouts[cell]!.rosettes.length > 0);
  return cells.flatMap((cell) => watched.map(({ suffix }) => seriesName(header.cells[cell]!.name, '', suffix)));
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
  /** Undefined in a pass that only draws. */
  readonly detector: CellDetector | undefined;
  readonly columns: readonly number[];
  /** Indices of the rosettes that have a tensor. */
  readonly rosettes: readonly number[];
  /** Undefined where nothing is drawn, or nothing is watched. */
  readonly statistic: WatchedStatistic | undefined;
}

export class CellWork {
  readonly #options: CellWorkOptions;
  /** What to go on from; its findings have been taken. */
  readonly #from: CellWorkState | undefined;
  #made: readonly CellTools[] | undefined;
  readonly #drawn: PyramidBuilder | undefined;
  readonly #found: PyramidBuilder | undefined;
  /** The columns of the block at hand, in the order of the two builders' series. */
  readonly #drawnColumns: Float64Array[] = [];
  readonly #foundColumns: Float64Array[] = [];

  constructor(options: CellWorkOptions, state?: CellWorkState) {
    const { header, layouts, share, bucketRows, part } = options;
    this.#options = options;
    this.#from = state;
    if (bucketRows > 0 && part !== 'find') {
      this.#drawn = builderOf(options, drawnSeries(header, layouts, share), state?.pyramid);
    }
    if (bucketRows > 0 && part !== 'draw') {
      this.#found = builderOf(options, foundSeries(header, layouts, share), state?.watched);
    }
  }

  /** Made with the first rows: of a log that threads have read, or that its index knows, none come. */
  get #tools(): readonly CellTools[] {
    const { share } = this.#options;
    this.#made ??= share.cells.map((cell, index) => cellTools(this.#options, cell, this.#from?.detectors[index]));
    return this.#made;
  }

  /** Extremes of every series that has a pyramid, by series name. */
  get pyramid(): (readonly [string, SeriesLevels])[] {
    const { header, layouts, share } = this.#options;
    const named = (
      builder: PyramidBuilder | undefined,
      names: readonly string[],
    ): (readonly [string, SeriesLevels])[] => builder?.finish().map((series, i) => [names[i]!, series] as const) ?? [];
    return [
      ...named(this.#drawn, drawnSeries(header, layouts, share)),
      ...named(this.#found, foundSeries(header, layouts, share)),
    ];
  }

  push(rows: RowBlock): void {
    const drawn = this.#drawnColumns;
    const found = this.#foundColumns;
    drawn.length = 0;
    found.length = 0;
    for (const column of this.#options.share.plateColumns) drawn.push(rows.columns[column]!);
    for (const { strain, detector, columns, rosettes, statistic } of this.#tools) {
      const cell = strain.convert(rows);
      detector?.push(cell, rows);
      for (const column of columns) drawn.push(rows.columns[column]!);
      for (const rosette of rosettes) {
        for (const suffix of rosetteSeries) drawn.push(cell.rosettes[rosette]![suffix]);
      }
      if (statistic) for (const { suffix } of watched) found.push(statistic[suffix]);
    }
    this.#drawn?.push(drawn, rows.rows, rows.firstRow);
    this.#found?.push(found, rows.rows, rows.firstRow);
  }

  /** What the cells of this share have found since the last call, in the order in which it became known. */
  take(): CellFinding[] {
    const findings = this.#made?.flatMap(({ detector }) => detector?.take() ?? []) ?? [];
    return findings.sort((a, b) => a.knownRow - b.knownRow || a.cell - b.cell);
  }

  finish(): void {
    for (const { detector } of this.#made ?? []) detector?.finish();
  }

  save(): CellWorkState {
    return this.#stateBy((detector) => detector.save());
  }

  /** What `save` gives, but not as a copy: nothing is to be pushed after it. */
  handOver(): CellWorkState {
    return this.#stateBy((detector) => detector.handOver());
  }

  #stateBy(stateOf: (detector: CellDetector) => CellDetectorState): CellWorkState {
    const saved = this.#made ? undefined : this.#from?.detectors;
    return {
      detectors: saved ?? this.#tools.flatMap(({ detector }) => (detector ? [stateOf(detector)] : [])),
      pyramid: this.#drawn?.save(),
      watched: this.#found?.save(),
    };
  }
}

function cellTools(options: CellWorkOptions, cell: number, state: CellDetectorState | undefined): CellTools {
  const { header, layouts, context, capacity, bucketRows, part } = options;
  const layout = layouts[cell]!;
  const detector = part === 'draw' ? undefined : new CellDetector(header, layout, context, state);
  return {
    // Detection works on the fibres' own strain; tensors are only drawn.
    strain: new CellStrain(header, layout, context, capacity, { tensors: bucketRows > 0 && part !== 'find' }),
    detector,
    columns: columnsOfCell(header, cell),
    rosettes: tensorRosettes(header, layout).map((rosette) => layout.rosettes.indexOf(rosette)),
    statistic: bucketRows > 0 && layout.rosettes.length > 0 ? detector?.watch(capacity) : undefined,
  };
}

function builderOf(
  { header, bucketRows }: CellWorkOptions,
  names: readonly string[],
  state: PyramidState | undefined,
): PyramidBuilder {
  if (state) return PyramidBuilder.restore(state);
  const periods = names.map((name) => (name.endsWith('_dir') && !isColumn(header, name) ? Math.PI : 0));
  return new PyramidBuilder(names.length, bucketRows, periods);
}

function isColumn(header: LogHeader, name: string): boolean {
  return header.columns.some((column) => column.name === name);
}
