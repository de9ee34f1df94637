// What does not change about one cell: which vector components its samples have (temperature first, then the strain
// channels, rosette by rosette), and how channel changes become tensor changes.
import type { LogHeader } from '../header/logHeader.ts';
import { carriesTemperature } from '../header/logHeader.ts';
import { strainLine, temperatureLine, temperatureSource } from '../strain/channelStrain.ts';
import type { CellLayout } from '../strain/layout.ts';
import { designRow } from '../strain/rosette.ts';
import { RosetteSolver } from '../strain/rosetteSolver.ts';
import type { StrainContext } from '../strain/strainContext.ts';

export interface FrameRosette {
  readonly plane: number;
  /** Index of its first channel among the cell's strain channels. */
  readonly start: number;
  readonly count: number;
  readonly solver: RosetteSolver;
}

export interface CellFrame {
  readonly cell: number;
  /** Components of a sample: 0 is the temperature if `first` is 1, the rest are strain channels. */
  readonly dimension: number;
  readonly first: number;
  /** Per strain channel: index into header.channels and header.columns. */
  readonly channels: readonly number[];
  readonly columns: readonly number[];
  /** Column of the temperature reading, -1 where none; strain per unit reading per component (kelvin for temperature). */
  readonly temperatureChannel: number;
  readonly temperatureColumn: number;
  readonly perUnit: readonly number[];
  /** Noise of one reading per component as the datum window tells it; NaN where it does not. */
  readonly noise: readonly number[];
  /** Correlation of its strain channels' noise from row to row there, 0 to 1; 0 where unknown. */
  readonly correlation: number;
  readonly rosettes: readonly FrameRosette[];
  /** Channel changes that a tensor change of each rosette with a tensor makes; channels without one stand alone. */
  readonly design: readonly (readonly number[])[];
}

export function cellFrame(header: LogHeader, layout: CellLayout, context: StrainContext): CellFrame {
  const source = temperatureSource(header, layout, context.temperatureZeroK);
  const thermometer = header.channels[source];
  const channels = layout.rosettes.flatMap((r) => r.channels);
  const lines = channels.map((c) => strainLine(header.channels[c]!, header));
  let start = 0;
  const rosettes = layout.rosettes.map((rosette): FrameRosette => {
    const count = rosette.channels.length;
    const solver = new RosetteSolver(header, rosette, lines.slice(start, start + count), context);
    start += count;
    return { plane: rosette.plane, start: start - count, count, solver };
  });
  const first = thermometer && carriesTemperature(thermometer) ? 1 : 0;
  const temperature = first ? [Math.abs(temperatureLine(thermometer!, header).perUnit)] : [];
  return {
    cell: layout.cell,
    dimension: first + channels.length,
    first,
    channels,
    columns: channels.map((c) => header.channels[c]!.column),
    temperatureChannel: first ? source : -1,
    temperatureColumn: thermometer?.column ?? -1,
    perUnit: [...temperature, ...lines.map((line) => Math.abs(line.perUnit))],
    noise: [...(first ? [context.noise[source]!] : []), ...channels.map((c) => context.noise[c]!)],
    correlation: Math.max(0, meanOf(channels.map((c) => context.correlation[c]!))),
    rosettes,
    design: designOf(header, channels, rosettes),
  };
}

/** Of those that are known; 0 where none is. */
function meanOf(values: readonly number[]): number {
  const known = values.filter((v) => !Number.isNaN(v));
  return known.reduce((sum, v) => sum + v, 0) / Math.max(1, known.length);
}

function designOf(
  header: LogHeader,
  channels: readonly number[],
  rosettes: readonly FrameRosette[],
): (readonly number[])[] {
  const width = rosettes.reduce((sum, r) => sum + Math.min(3, r.count), 0);
  const design = channels.map(() => new Array<number>(width).fill(0));
  let column = 0;
  for (const { start, count, solver } of rosettes) {
    for (let i = 0; i < count; i++) {
      const row = design[start + i]!;
      if (!solver.full && count < 3) row[column + i] = 1;
      else designRow(header.channels[channels[start + i]!]!.directionRad).forEach((v, k) => (row[column + k] = v));
    }
    column += Math.min(3, count);
  }
  return design;
}
