// Spells of sick channels by the cell and plane they belong to, for telling people.
import type { LogHeader } from '../core/header/logHeader.ts';
import type { SickSpell } from '../core/strain/sickSpell.ts';

/** One cell's plane and its sick channels. */
export interface SickRosette {
  readonly rosette: string;
  readonly spells: readonly SickSpell[];
}

export function byRosette(header: LogHeader, sick: readonly SickSpell[]): SickRosette[] {
  const groups = new Map<string, SickSpell[]>();
  for (const spell of sick) {
    const names = [header.cells[spell.cell]!.name, header.planes[spell.plane]?.name ?? ''];
    const rosette = names.filter((name) => name !== '').join(' ');
    const group = groups.get(rosette) ?? [];
    groups.set(rosette, group);
    group.push(spell);
  }
  return [...groups].map(([rosette, spells]) => ({ rosette, spells }));
}
