// The log's sensor events -> which channels are left out of their rosette's tensor, and when. To leave out a channel that
// was well costs precision only, to keep a sick one costs truth: so every channel told is left out where directions suffice.
import type { StrainEvent } from '../change/events.ts';
import type { LogHeader } from '../header/logHeader.ts';
import type { Rosette } from '../strain/layout.ts';
import { conditionLimit, hasTensor, rosetteCondition } from '../strain/rosette.ts';
import { zeroedChannels } from '../strain/rosetteSolver.ts';
import { sickKinds } from '../strain/sickSpell.ts';
import type { SickEffect, SickKind, SickSpell } from '../strain/sickSpell.ts';
import type { LogBasis } from './logHead.ts';

/** One channel as one event told it. */
interface Illness {
  readonly channel: number;
  readonly kind: SickKind;
  readonly layer: number;
  readonly fromS: number;
  readonly toS: number;
}

/**
 * Spells of every rosette that has a tensor, by time. Where several channels are sick at once, missing and stuck ones go
 * first, then those that wandered, then those that jumped, the earlier before the later, as long as directions suffice.
 */
export function sickSpells(
  { header, layouts, context }: Pick<LogBasis, 'header' | 'layouts' | 'context'>,
  events: readonly StrainEvent[],
): SickSpell[] {
  const all = events.flatMap(illnesses);
  if (all.length === 0) return [];
  const rosettes = layouts.flatMap((layout) => layout.rosettes).filter((rosette) => hasTensor(header, rosette));
  const spells = rosettes.flatMap((rosette) => {
    const own = all.filter(({ channel }) => rosette.channels.includes(channel));
    return own.length === 0 ? [] : spellsOf(header, rosette, zeroedChannels(rosette, context), own);
  });
  return spells.sort((a, b) => a.fromS - b.fromS || a.channel - b.channel);
}

function illnesses({ kind, channels, layer, timeS, endTimeS }: StrainEvent): Illness[] {
  const sick = sickKinds.find((one) => one === kind);
  if (!sick) return [];
  // What jumped or wandered is off its zero ever after, even where the moving itself has ended.
  const lasts = sick === 'jump' || sick === 'wander' || Number.isNaN(endTimeS);
  const toS = lasts ? Infinity : endTimeS;
  return channels.map((channel) => ({ channel, kind: sick, layer, fromS: timeS, toS }));
}

/** Between two turns of any channel nothing changes: effects are decided stretch by stretch, equal neighbours joined. */
function spellsOf(
  header: LogHeader,
  rosette: Rosette,
  usable: readonly number[],
  own: readonly Illness[],
): SickSpell[] {
  const turns = [...new Set(own.flatMap(({ fromS, toS }) => [fromS, toS]))].sort((a, b) => a - b);
  const spells: SickSpell[] = [];
  const open = new Map<number, number>();
  for (let t = 0; t + 1 < turns.length; t++) {
    const [fromS, toS] = [turns[t]!, turns[t + 1]!];
    const active = own.filter((one) => one.fromS <= fromS && fromS < one.toS);
    for (const [illness, effect] of decided(header, usable, active)) {
      const { channel, kind, layer } = illness;
      const at = open.get(channel);
      const before = at === undefined ? undefined : spells[at]!;
      const same = before && before.toS === fromS && before.onsetS === illness.fromS && before.kind === kind;
      if (same && before.effect === effect) {
        spells[at!] = { ...before, toS };
        continue;
      }
      const { cell, plane } = rosette;
      const name = header.channels[channel]!.name;
      open.set(
        channel,
        spells.push({ cell, plane, channel, name, kind, effect, fromS, toS, onsetS: illness.fromS, layer }) - 1,
      );
    }
  }
  return spells;
}

/** What becomes of each channel that is sick at one time; of several illnesses of one channel the first is named. */
function decided(
  header: LogHeader,
  usable: readonly number[],
  active: readonly Illness[],
): (readonly [Illness, SickEffect])[] {
  const byOnset = [...active].sort((a, b) => a.fromS - b.fromS || rank(a) - rank(b));
  const firsts = byOnset.filter((one, i) => byOnset.findIndex(({ channel }) => channel === one.channel) === i);
  const isMissing = ({ channel }: Illness): boolean =>
    active.some((one) => one.channel === channel && one.kind === 'dropout');
  const urgency = ({ channel }: Illness): number =>
    Math.min(...active.filter((one) => one.channel === channel).map(rank));
  const suffice = (channels: readonly number[]): boolean =>
    rosetteCondition(channels.map((c) => header.channels[c]!.directionRad)) <= conditionLimit;
  const missing = firsts.filter(isMissing);
  let left = usable.filter((c) => !missing.some(({ channel }) => channel === c));
  const effect = suffice(left) ? 'without' : 'none';
  const others = firsts.filter((one) => !isMissing(one));
  others.sort((a, b) => urgency(a) - urgency(b) || a.fromS - b.fromS || a.channel - b.channel);
  return [
    ...missing.map((illness) => [illness, effect] as const),
    ...others.map((illness) => {
      const rest = left.filter((c) => c !== illness.channel);
      if (!suffice(rest)) return [illness, 'doubtful'] as const;
      left = rest;
      return [illness, 'without'] as const;
    }),
  ];
}

function rank({ kind }: Illness): number {
  return sickKinds.indexOf(kind);
}
