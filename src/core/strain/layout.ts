// The plate's measuring layout, made once from the header: which channels form the rosette of a cell and plane,
// and where each cell's temperature comes from.
// A rosette is the set of strain channels of one cell on one plane (trade term for strain gauges in several directions).
import type { LogHeader } from '../header/logHeader.ts';
import { carriesTemperature } from '../header/logHeader.ts';
import { thermometersOf } from '../header/resolve/thermometers.ts';

export interface Rosette {
  readonly cell: number;
  /** Index into header.planes, -1 where the log names none. */
  readonly plane: number;
  /** Indices into header.channels, strain-bearing, in file order. */
  readonly channels: readonly number[];
}

export interface CellLayout {
  readonly cell: number;
  /** Rosettes of the cell, lowest plane first. */
  readonly rosettes: readonly Rosette[];
  /** First choice for the cell's temperature (a thermometer or a strain-free reference, own or the plate's); -1: none. */
  readonly temperatureChannel: number;
}

/** Groups the header's channels by cell and plane. Cells without a strain channel are kept, with no rosettes. */
export function cellLayouts(header: LogHeader): CellLayout[] {
  return header.cells.map((_, cell) => {
    return { cell, rosettes: rosettesOf(header, cell), temperatureChannel: thermometersOf(header, cell)[0] ?? -1 };
  });
}

function rosettesOf(header: LogHeader, cell: number): Rosette[] {
  const byPlane = new Map<number, number[]>();
  header.channels.forEach((channel, index) => {
    if (channel.cell !== cell || carriesTemperature(channel)) return;
    const list = byPlane.get(channel.plane) ?? [];
    list.push(index);
    byPlane.set(channel.plane, list);
  });
  const height = (plane: number): number => header.planes[plane]?.heightM ?? 0;
  return [...byPlane]
    .sort(([a], [b]) => height(a) - height(b) || a - b)
    .map(([plane, channels]) => ({ cell, plane, channels }));
}
