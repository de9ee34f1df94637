// What is said of a cell whose tensor has to do without a channel, or with one that is not to be believed.
import type { SickKind, SickSpell } from '../../strain/sickSpell.ts';
import { clock, countOf } from '../numberFormat.ts';

const kindTexts: Readonly<Record<SickKind, string>> = {
  dropout: 'readings missing',
  stuck: 'reading stuck',
  wander: 'wander',
  jump: 'jump',
};

/** 'without B2_45 from layer 12: wander'; '' where all channels are well. The cell's name goes before it. */
export function sickText(spells: readonly SickSpell[]): string {
  return byFate(spells).map(textOf).join('; ');
}

/** Spells named at once; the shorter ones are counted. */
const mostSpells = 3;

/** The same with the longest spells only, and how many more there are. */
function longestText(spells: readonly SickSpell[]): string {
  const fates = byFate(spells);
  const longest = new Set([...fates].sort((a, b) => lengthOf(b) - lengthOf(a)).slice(0, mostSpells));
  const more = fates.length - longest.size;
  const told = fates.filter((fate) => longest.has(fate)).map(textOf);
  return [...told, ...(more > 0 ? [`and ${countOf(more, 'shorter spell', 'shorter spells')}`] : [])].join('; ');
}

/** Those that differ by their channel only, together. */
function byFate(spells: readonly SickSpell[]): SickSpell[][] {
  const alike = new Map<string, SickSpell[]>();
  for (const spell of spells) {
    const key = [spell.effect, spell.kind, spell.fromS, spell.toS].join();
    alike.set(key, [...(alike.get(key) ?? []), spell]);
  }
  return [...alike.values()];
}

/** Seconds; beyond all others while it lasts. */
function lengthOf(spells: readonly SickSpell[]): number {
  const { fromS, toS } = spells[0]!;
  return Number.isFinite(toS) ? toS - fromS : Number.MAX_VALUE;
}

/** Spells that differ by their channel only. */
function textOf(spells: readonly SickSpell[]): string {
  const { kind, effect, layer, onsetS, fromS, toS } = spells[0]!;
  const names = spells.map(({ name }) => name).join(', ');
  const from = layer >= 0 && fromS === onsetS ? `from layer ${layer}` : `from ${clock(fromS)}`;
  const when = Number.isFinite(toS) ? `${from} until ${clock(toS)}` : from;
  const why = kindTexts[kind];
  if (effect === 'without') return `without ${names} ${when}: ${why}`;
  if (effect === 'none') return `no tensor ${when}: ${why} in ${names}`;
  return `doubtful ${when}: ${why} in ${names}, and no direction to spare`;
}

/** The mark beside the name of a cell: how many channels it is without, and a question mark where it is doubtful. */
export function sickMark(spells: readonly SickSpell[]): string {
  const without = spells.filter(({ effect }) => effect !== 'doubtful').length;
  const parts = [without > 0 ? `−${without}` : '', without < spells.length ? '?' : ''];
  return parts.filter((part) => part !== '').join(' ');
}

/** What marks beside names mean: '−1, −2: channels left out; ?: doubtful'; '' where there is no mark. */
export function sickMarkKey(marks: readonly string[]): string {
  const parts = [...new Set(marks.flatMap((mark) => mark.split(' ')))].sort();
  const without = parts.filter((part) => part.startsWith('−'));
  const left =
    without.length === 0
      ? []
      : [`${without.join(', ')}: ${without.join() === '−1' ? 'a channel' : 'channels'} left out`];
  return [...left, ...(parts.includes('?') ? ['?: doubtful'] : [])].join('; ');
}

/** Cells named at once; the others are counted. */
const mostNamed = 3;

/** Spells by their cell, in the order of the first of each. */
export function byCell(spells: readonly SickSpell[]): { cell: number; sick: SickSpell[] }[] {
  const cells = [...new Set(spells.map(({ cell }) => cell))];
  return cells.map((cell) => ({ cell, sick: spells.filter((spell) => spell.cell === cell) }));
}

/**
 * One sentence for each cell with a sick channel: 'B2 without B2_45 from layer 12: wander'. Of many cells, and of many spells
 * of a cell, the rest are counted.
 */
export function sickCells(
  of: readonly { readonly cell: number; readonly sick?: readonly SickSpell[] | undefined }[],
  cellName: (cell: number) => string,
): string[] {
  const told = of.filter(({ sick }) => sick && sick.length > 0);
  const named = told.slice(0, mostNamed).map(({ cell, sick }) => `${cellName(cell)} ${longestText(sick!)}`);
  const more = told.length - named.length;
  return more > 0 ? [...named, `${countOf(more, 'more cell', 'more cells')} with sick channels`] : named;
}
