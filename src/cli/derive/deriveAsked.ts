// Which of the quantities asked for a log does not have, and why: told, and where none is left nothing is written.
import { quantityOf } from '../../core/display/quantities.ts';
import { carriesTemperature } from '../../core/header/logHeader.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import { InputError } from '../command.ts';
import { wantedSeries } from './deriveColumns.ts';

/**
 * A sentence for each reason why some of the suffixes exist nowhere in the log.
 * @throws InputError where nothing at all would be written but times.
 */
export function lackingQuantities(header: LogHeader, suffixes: readonly string[], shown: string): string[] {
  const series = wantedSeries(header, suffixes);
  const byReason = new Map<string, string[]>();
  for (const suffix of suffixes) {
    if (series.some(({ quantity }) => quantity === suffix)) continue;
    const reason = reasonOf(suffix, header);
    byReason.set(reason, [...(byReason.get(reason) ?? []), suffix]);
  }
  const told = [...byReason].map(([reason, lacking]) => `${shown}: no ${lacking.join(', ')}: ${reason}`);
  if (series.length > 0) return told;
  throw new InputError([`'${shown}' has none of the quantities asked for, so nothing was written`, ...told].join('\n'));
}

function reasonOf(suffix: string, { channels }: LogHeader): string {
  if (suffix !== 'dt' && channels.every(carriesTemperature)) return 'no fibre is declared';
  if (suffix === 'strain') return 'every cell has a tensor, which says all that its fibres do; take ex, ey, gxy';
  if (suffix === 'dt') return 'no thermometer';
  if (suffix.startsWith('resid')) return 'they take four fibres in a plane of a cell, in three directions that differ';
  if (quantityOf(suffix)?.of === 'rosette')
    return 'they take three directions that differ in a plane of a cell; take strain, along each fibre';
  return 'they take three directions in each of two planes of a cell, with the height of both';
}
