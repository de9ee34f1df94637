// Cells whose strain still holds the heat: nothing tells their temperature, and their channels do not take it out themselves.
import type { LogHeader } from '../../header/logHeader.ts';
import { carriesTemperature } from '../../header/logHeader.ts';
import { countOf } from '../numberFormat.ts';

type Channels = Pick<LogHeader, 'cells' | 'channels'>;

/** Indices of such cells. */
export function cellsWithHeat({ cells, channels }: Channels): number[] {
  const told = new Set(channels.filter(carriesTemperature).map(({ cell }) => cell));
  if (told.has(-1)) return []; // the plate's own serves all
  return [...cells.keys()].filter(
    (cell) =>
      !told.has(cell) && channels.some((one) => one.cell === cell && !carriesTemperature(one) && !one.compensated),
  );
}

/** Cells named at once; the others are counted. */
const mostNamed = 3;

/** One sentence for a person about to read strain off a drawing; '' where the heat was taken out of every cell. */
export function heatLeftText(header: Channels): string {
  const left = cellsWithHeat(header);
  if (left.length === 0) return '';
  const more = left.length - mostNamed;
  const named = left.slice(0, mostNamed).map((cell) => header.cells[cell]!.name);
  const where =
    left.length === header.cells.length && more > 0
      ? 'any cell'
      : [named.join(', '), ...(more > 0 ? [countOf(more, 'more cell', 'more cells')] : [])].join(' and ');
  return (
    `Temperature was not taken out of ${where}: no channel tells it, so heat shows as tension, cooling as compression. ` +
    'Changes within a few rows can still be read; add a temperature channel to read the rest.'
  );
}
