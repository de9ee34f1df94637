// The plate's measuring layout, made once from the header: which channels form the rosette of a cell and plane,
// and where each cell's temperature comes from.
// A rosette is the set of strain channels of one cell on one plane (trade term for strain gauges in several directions).
import type { LogHeader } from '../header/logHeader.ts';

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
  /** Channel that gives the cell's temperature (own, plate's, or strain-free reference), -1 where none. */
  readonly temperatureChannel: number;
}

/** Groups the header's channels by cell and plane. Cells without a strain channel are kept, with no rosettes. */
export function cellLayouts(header: LogHeader): CellLayout[] {
  const plateTemperature = header.channels.findIndex((c) => c.cell < 0 && (c.kind === 'temperature' || c.strainFree));
  return header.cells.map((_, cell) => {
    const own = header.channels.findIndex((c) => c.cell === cell && (c.kind === 'temperature' || c.strainFree));
    return { cell, rosettes: rosettesOf(header, cell), temperatureChannel: own >= 0 ? own : plateTemperature };
  });
}

function rosettesOf(header: LogHeader, cell: number): Rosette[] {
  const byPlane = new Map<number, number[]>();
  header.channels.forEach((channel, index) => {
    if (channel.cell !== cell || channel.kind === 'temperature' || channel.strainFree) return;
    const list = byPlane.get(channel.plane) ?? [];
    list.push(index);
    byPlane.set(channel.plane, list);
  });
  const height = (plane: number): number => header.planes[plane]?.heightM ?? 0;
  return [...byPlane]
    .sort(([a], [b]) => height(a) - height(b) || a - b)
    .map(([plane, channels]) => ({ cell, plane, channels }));
}
