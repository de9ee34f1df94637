// What is said over a plot besides its values: where its axis ends, what the detector keeps to itself, and which channels its
// cells do without.
import { byCell, sickCells } from '../../src/core/display/text/sickText.ts';
import type { SickSpell } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import type { BehindLine } from './marks.ts';
import type { QuantityGroup } from './quantityGroups.ts';

/** Sentences in one text, '' where there is nothing to say. `capped`: larger values run out at the top. */
export function plotNote(
  app: App,
  { hint }: QuantityGroup,
  capped: boolean,
  own: readonly SickSpell[],
  behind: readonly BehindLine[],
): string {
  const axis = capped ? 'The axis ends at four times the smallest value: larger ones run out at the top' : '';
  const taught = (app.summary?.lastLayer ?? -1) >= 0 ? hint : ''; // a log without layers is judged from its start
  return [axis, taught, ...sickNotes(app, own, behind)].filter((text) => text !== '').join('. ');
}

/** Of the drawn cells, and of those of the second log, told under its name. */
function sickNotes(app: App, own: readonly SickSpell[], behind: readonly BehindLine[]): string[] {
  const { reference } = app;
  const second = behind.flatMap(({ sick }) => sick ?? []);
  const nameInSecond = (cell: number): string => reference?.header?.cells[cell]?.name ?? '';
  const ofSecond = sickOnce(second, nameInSecond).map((text) => `${reference?.name ?? ''}: ${text}`);
  return [...sickOnce(own, (cell) => app.cellName(cell)), ...ofSecond];
}

/** Lines of one rosette have the same spells: each is told once. */
function sickOnce(spells: readonly SickSpell[], cellName: (cell: number) => string): string[] {
  const each = new Map(spells.map((spell) => [`${spell.channel} ${spell.fromS}`, spell]));
  return sickCells(byCell([...each.values()]), cellName);
}
