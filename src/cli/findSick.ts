// The channels of a log that are sick at some time, looked for before its rows are read for good, and how a table tells of
// them.
import { sickSpells } from '../core/pipeline/sickSpells.ts';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { SickEffect, SickSpell } from '../core/strain/sickSpell.ts';
import { analyse } from './analyse.ts';
import { InputError } from './command.ts';
import { reasonOf } from './writeWhole.ts';

/** Reads the whole log, by several threads where it is long. @throws InputError where it cannot be read. */
export async function findSick(
  path: string,
  settings: AnalysisSettings,
  basis: LogBasis,
  signal: AbortSignal,
): Promise<readonly SickSpell[]> {
  try {
    const log = await analyse(path, { settings, signal });
    await log.close();
    return sickSpells(basis, log.summary.events);
  } catch (error) {
    if (signal.aborted) throw new InputError('stopped; nothing was written');
    throw new InputError(`'${path}' could not be read: ${reasonOf(error)}`);
  }
}

/** As it stands in a file: JSON, which is YAML as well. */
export function sickRecord(header: LogHeader, { cell, plane, name, kind, effect, fromS, toS }: SickSpell): string {
  return JSON.stringify({
    channel: name,
    cell: header.cells[cell]!.name,
    plane: header.planes[plane]?.name,
    kind,
    from_s: fromS,
    ...(Number.isFinite(toS) ? { to_s: toS } : {}),
    tensor: effects[effect],
  });
}

const effects: Readonly<Record<SickEffect, string>> = {
  without: 'without it',
  doubtful: 'doubtful',
  none: 'none',
};
