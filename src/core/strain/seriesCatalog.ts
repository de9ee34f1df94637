// Every series a log offers, from its header alone: raw columns, the quantities of each rosette and cell, derived ones.
// The list says what exists and how it is called; seriesValues.ts computes it.
import { quantities, quantityOf, seriesName } from '../display/quantities.ts';
import type { Quantity } from '../display/quantities.ts';
import { labelOf } from '../display/units.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { wholeLine } from '../problem.ts';
import { compileDerived } from './derived.ts';
import { cellLayouts } from './layout.ts';
import type { CellLayout, Rosette } from './layout.ts';
import { leastPlaneSpacingM } from './plates.ts';
import { hasTensor } from './rosette.ts';

export interface SeriesEntry {
  readonly id: string;
  /** -1 where the series belongs to the plate. */
  readonly cell: number;
  readonly plane: number;
  /** Suffix of core/display/quantities, '' for a raw column or a derived expression. */
  readonly quantity: string;
  readonly title: string;
  readonly unitLabel: string;
}

/** Raw columns first (roles and text left out), then cell by cell, then the derived
 * ones that compile. An id occurs once: a column's name wins. */
export function seriesCatalog(header: LogHeader): SeriesEntry[] {
  const entries = new Map<string, SeriesEntry>();
  const add = (entry: SeriesEntry): void => {
    if (!entries.has(entry.id)) entries.set(entry.id, entry);
  };
  rawEntries(header).forEach(add);
  for (const layout of cellLayouts(header)) {
    const cell = header.cells[layout.cell]!.name;
    const solvable = layout.rosettes.filter((rosette) => hasTensor(header, rosette));
    // Where there is a tensor, it says all that the fibres do.
    for (const rosette of layout.rosettes) if (!solvable.includes(rosette)) fibreEntries(header, rosette).forEach(add);
    for (const rosette of solvable) {
      const plane = header.planes[rosette.plane]?.name ?? '';
      for (const quantity of quantities) {
        if (quantity.of !== 'rosette' || !offered(quantity, rosette)) continue;
        add(entryOf(seriesName(cell, plane, quantity.suffix), layout.cell, rosette.plane, quantity));
      }
    }
    for (const quantity of quantities) {
      if (quantity.of !== 'cell') continue;
      const exists = quantity.suffix === 'dt' ? layout.temperatureChannel >= 0 : hasTwoHeights(header, solvable);
      if (exists) add(entryOf(seriesName(cell, '', quantity.suffix), layout.cell, -1, quantity));
    }
  }
  if (cellsWithMoments(header).length > 0) {
    for (const quantity of quantities) {
      if (quantity.of === 'plate') add(entryOf(seriesName('plate', '', quantity.suffix), -1, -1, quantity));
    }
  }
  for (const derived of header.derived) {
    const { series } = compileDerived(derived, header, () => wholeLine(1), 1);
    if (!series) continue;
    const { name, unit } = series;
    add({ id: name, cell: -1, plane: -1, quantity: '', title: derived.expression, unitLabel: labelOf(unit) });
  }
  return [...entries.values()];
}

/** Cells with tensors at two heights or more. */
export function cellsWithMoments(header: LogHeader): number[] {
  const bends = ({ rosettes }: CellLayout): boolean =>
    hasTwoHeights(
      header,
      rosettes.filter((rosette) => hasTensor(header, rosette)),
    );
  return cellLayouts(header)
    .filter(bends)
    .map(({ cell }) => cell);
}

function rawEntries(header: LogHeader): SeriesEntry[] {
  const roles = Object.values(header.roles);
  return header.columns.flatMap((column, index) => {
    if (roles.includes(index) || column.datatype === 'string') return [];
    const channel = header.channels.find((c) => c.column === index);
    const title = channel ? `reading of ${column.name}` : column.name;
    const place = { cell: channel?.cell ?? -1, plane: channel?.plane ?? -1 };
    return [{ id: column.name, ...place, quantity: '', title, unitLabel: labelOf(column.unit) }];
  });
}

/** The strain along each fibre of too few directions for a tensor. */
function fibreEntries(header: LogHeader, { cell, plane, channels }: Rosette): SeriesEntry[] {
  const quantity = quantityOf('strain')!;
  return channels.map((channel) => {
    const { name, directionRad } = header.channels[channel]!;
    const title = `${quantity.title} at ${Number(((directionRad * 180) / Math.PI).toFixed(1))}°`;
    return { ...entryOf(seriesName(name, '', quantity.suffix), cell, plane, quantity), title };
  });
}

function offered(quantity: Quantity, rosette: Rosette): boolean {
  return !quantity.suffix.startsWith('resid') || rosette.channels.length > 3;
}

function hasTwoHeights(header: LogHeader, rosettes: readonly Rosette[]): boolean {
  const heights = rosettes.map(({ plane }) => header.planes[plane]?.heightM ?? NaN).filter((z) => !Number.isNaN(z));
  return heights.length > 1 && Math.max(...heights) - Math.min(...heights) >= leastPlaneSpacingM;
}

function entryOf(id: string, cell: number, plane: number, quantity: Quantity): SeriesEntry {
  return { id, cell, plane, quantity: quantity.suffix, title: quantity.title, unitLabel: quantity.unitLabel };
}
