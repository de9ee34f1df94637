// One row of readings through the converter that logs go through: directions and microstrain in, tensor out (um/m, deg).
import { CellPlate, plateQuantities } from '../../src/core/strain/cellPlate.ts';
import { CellStrain } from '../../src/core/strain/cellStrain.ts';
import { cellLayouts } from '../../src/core/strain/layout.ts';
import type { LogHeader, Plate } from '../../src/core/header/logHeader.ts';
import { strainAlong } from '../../src/core/strain/principal.ts';
import type { StrainContext } from '../../src/core/strain/strainContext.ts';
import { header, rowBlock } from './strainLog.ts';

export interface MeasuredTensor {
  readonly ex: number;
  readonly ey: number;
  readonly gxy: number;
  readonly e1: number;
  readonly e2: number;
  readonly dir: number;
  readonly residual: number;
}

/** A context without a datum: readings as they are; every channel with this noise (dimensionless). */
export function plainContext(log: LogHeader, noise = NaN): StrainContext {
  const each = (value: number): number[] => log.channels.map(() => value);
  const report = { fromS: 0, toS: 0, rows: 0, mean: each(NaN), noise: each(noise), drift: each(NaN) };
  return {
    temperatureZeroK: each(0),
    strainZero: each(0),
    noise: each(noise),
    correlation: each(0),
    report: { ...report, temperatureDriftK: NaN, fit: true, reasons: [] },
  };
}

/** `noise` in um/m: next to none where it is of no concern, since a direction is told only where noise is known. */
export function measured(
  directionsDeg: readonly number[],
  microstrain: readonly number[],
  noise = 1e-9,
): MeasuredTensor {
  const log = header({
    channels: directionsDeg.map((directionDeg, i) => ({ name: `c${i}`, kind: 'strain', directionDeg })),
  });
  const strain = new CellStrain(log, cellLayouts(log)[0]!, plainContext(log, noise * 1e-6), 1);
  const {
    strain: channels,
    ex,
    ey,
    gxy,
    e1,
    e2,
    dir,
  } = strain.convert(rowBlock([[0, 0, ...microstrain]])).rosettes[0]!;
  const micro = (column: Float64Array): number => column[0]! * 1e6;
  return {
    ex: micro(ex),
    ey: micro(ey),
    gxy: micro(gxy),
    e1: micro(e1),
    e2: micro(e2),
    dir: (dir[0]! * 180) / Math.PI,
    residual: strain.solver(0).residual(channels, 0, ex[0]!, ey[0]!, gxy[0]!) * 1e6,
  };
}

/** The tensor in axes turned counterclockwise by `turnRad`: the strains along the new axes and midway between them. */
export function turned(ex: number, ey: number, gxy: number, turnRad: number): [number, number, number] {
  const along = (quarters: number): number => strainAlong(ex, ey, gxy, turnRad + (quarters * Math.PI) / 4);
  return [along(0), along(2), 2 * along(1) - along(0) - along(2)];
}

/** Strain of a field at a height, as (ex, ey, gxy), dimensionless. */
export type StrainAtHeight = (heightM: number) => readonly [number, number, number];

/** A quantity of a cell (its suffix) from rosettes of `directionsDeg` on planes at these heights in a strain field. */
export function fromPlanes(
  suffix: string,
  plate: Partial<Plate>,
  heightsM: readonly number[],
  field: StrainAtHeight,
  directionsDeg: readonly number[] = [0, 60, 120],
): number {
  const log = header({
    plate,
    planes: heightsM.map((heightM, i) => ({ name: `p${i}`, heightM })),
    channels: heightsM.flatMap((_, plane) =>
      directionsDeg.map(
        (directionDeg) => ({ name: `p${plane}_${directionDeg}`, kind: 'strain', directionDeg, plane }) as const,
      ),
    ),
  });
  const layout = cellLayouts(log)[0]!;
  const strain = new CellStrain(log, layout, plainContext(log), 1);
  const readings = log.channels.map(
    ({ plane, directionRad }) => strainAlong(...field(heightsM[plane]!), directionRad) * 1e6,
  );
  const cell = new CellPlate(log, layout, strain);
  const block = strain.convert(rowBlock([[0, 0, ...readings]]));
  const bent = cell.at(block, 0);
  if (!bent) throw new Error('no two planes with a tensor');
  return plateQuantities[suffix]!(bent, cell, block, 0);
}
