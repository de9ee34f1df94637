// A small invented plate with white noise and what a test adds to it, as row blocks of any size, and its events.
// Strain in microstrain in the table, cells on a grid of 60 mm, three fibres each, one row a second.
import { RandomStream } from '../../src/cli/simulation/random.ts';
import { CellDetector } from '../../src/core/change/cell/cellDetector.ts';
import type { StrainEvent } from '../../src/core/change/events.ts';
import type { CellFinding } from '../../src/core/change/findings.ts';
import { PlateStage } from '../../src/core/change/plate/plateStage.ts';
import type { LogHeader } from '../../src/core/header/logHeader.ts';
import { CellStrain } from '../../src/core/strain/cellStrain.ts';
import { DatumEstimator } from '../../src/core/strain/datum.ts';
import { cellLayouts } from '../../src/core/strain/layout.ts';
import type { RowBlock } from '../../src/core/table/rowBlock.ts';
import { header } from './strainLog.ts';
import type { HeaderSketch } from './strainLog.ts';

export interface PlateSketch {
  readonly columns?: number;
  readonly rows?: number;
  readonly directionsDeg?: readonly number[];
  readonly samples?: number;
  /** Standard deviation of one reading, microstrain. */
  readonly noise?: number;
  readonly seed?: number;
  readonly header?: Partial<HeaderSketch>;
  /** Replaces a reading (microstrain): `value` is its noise; `cell`, `fibre` and `row` count from 0. */
  readonly reading?: (value: number, cell: number, fibre: number, row: number) => number;
  readonly timeS?: (row: number) => number;
  readonly layer?: (row: number) => number;
}

export interface QuietPlate {
  readonly header: LogHeader;
  /** All rows as one block. */
  readonly block: RowBlock;
}

export function quietPlate(sketch: PlateSketch = {}): QuietPlate {
  const { columns = 3, rows = 3, directionsDeg = [0, 60, 120], samples = 1200, noise = 1, seed = 1 } = sketch;
  const cells = Array.from({ length: columns * rows }, (_, i) => ({
    name: `${String.fromCharCode(65 + (i % columns))}${Math.floor(i / columns) + 1}`,
    xM: 0.04 + 0.06 * (i % columns),
    yM: 0.04 + 0.06 * Math.floor(i / columns),
  }));
  const log = header({
    cells,
    detection: { falseAlarmHours: 200, smallestJump: 0, mute: [] },
    channels: cells.flatMap((cell, c) =>
      directionsDeg.map((directionDeg) => ({
        name: `${cell.name}_${directionDeg}`,
        kind: 'strain' as const,
        cell: c,
        plane: 0,
        directionDeg,
        compensated: true,
      })),
    ),
    ...sketch.header,
  });
  const random = new RandomStream(seed, 'quiet plate');
  const fibres = directionsDeg.length;
  const columnsOut = log.columns.map(() => new Float64Array(samples));
  for (let row = 0; row < samples; row++) {
    columnsOut[0]![row] = sketch.timeS?.(row) ?? row;
    columnsOut[1]![row] = sketch.layer?.(row) ?? NaN;
    for (let i = 0; i < cells.length * fibres; i++) {
      const value = noise * random.normal();
      columnsOut[2 + i]![row] = sketch.reading?.(value, Math.floor(i / fibres), i % fibres, row) ?? value;
    }
  }
  const lines = Float64Array.from({ length: samples }, (_, row) => row + 40);
  return {
    header: log,
    block: { rows: samples, firstRow: 0, columns: columnsOut, lines, offsets: new Float64Array(samples) },
  };
}

/** Rows [from, to) of a block, as a block of its own. */
function slice(block: RowBlock, from: number, to: number): RowBlock {
  return {
    rows: to - from,
    firstRow: block.firstRow + from,
    columns: block.columns.map((column) => column.slice(from, to)),
    lines: block.lines.slice(from, to),
    offsets: block.offsets.slice(from, to),
  };
}

export interface Watched {
  readonly events: readonly StrainEvent[];
  readonly findings: readonly CellFinding[];
}

/** Runs detection over the plate in chunks of the given sizes (the last one repeated); state saved and restored at `saveAt`. */
export function watch(plate: QuietPlate, sizes: readonly number[] = [1000], saveAt: readonly number[] = []): Watched {
  const { header: log, block } = plate;
  const layouts = cellLayouts(log);
  const estimator = new DatumEstimator(log);
  estimator.push(block);
  const context = estimator.result();
  const strains = layouts.map((layout) => new CellStrain(log, layout, context, block.rows));
  let detectors = layouts.map((layout) => new CellDetector(log, layout, context));
  let stage = new PlateStage(log, layouts);
  const findings: CellFinding[] = [];
  for (let from = 0, k = 0; from < block.rows; k++) {
    const to = Math.min(block.rows, from + sizes[Math.min(k, sizes.length - 1)]!);
    const part = slice(block, from, to);
    const found = layouts.flatMap((_, i) => {
      detectors[i]!.push(strains[i]!.convert(part), part);
      return detectors[i]!.take();
    });
    findings.push(...found);
    stage.push(found);
    stage.advance(to - 1);
    if (saveAt.includes(k)) {
      detectors = detectors.map((d, i) => new CellDetector(log, layouts[i]!, context, throughJson(d.save())));
      stage = PlateStage.restore(log, layouts, throughJson(stage.save()));
    }
    from = to;
  }
  for (const detector of detectors) detector.finish();
  stage.finish();
  return { events: stage.events(), findings };
}

/** What a saved state goes through: a copy that shares nothing. */
function throughJson<T>(state: T): T {
  return structuredClone(state);
}

/** What a tensor change of the metal (microstrain) makes along a direction. */
export function along([ex, ey, gxy]: readonly [number, number, number], directionDeg: number): number {
  const c = Math.cos((directionDeg * Math.PI) / 180);
  const s = Math.sin((directionDeg * Math.PI) / 180);
  return ex * c * c + ey * s * s + gxy * s * c;
}
