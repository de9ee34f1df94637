// Stretches of time in which a channel of a rosette is not to be believed, and what becomes of the tensor meanwhile.
// Seconds of the log.

/**
 * What is made of a sick channel: the tensor is solved `without` it; or with it and is `doubtful`, since without it too few
 * directions would remain; or there is `none`, the channel's readings being missing and no direction to spare.
 */
export type SickEffect = 'without' | 'doubtful' | 'none';

/** Why it is sick; a jump or wander of one channel alone leaves it off its zero for the rest of the log. */
export const sickKinds = ['dropout', 'stuck', 'wander', 'jump'] as const;
export type SickKind = (typeof sickKinds)[number];

export interface SickSpell {
  readonly cell: number;
  /** Index into header.planes, -1 where the log names none. */
  readonly plane: number;
  /** Index into header.channels, and its name. */
  readonly channel: number;
  readonly name: string;
  readonly kind: SickKind;
  readonly effect: SickEffect;
  /** From the row at `fromS` up to, without, that at `toS`; Infinity while it lasts. */
  readonly fromS: number;
  readonly toS: number;
  /** When the channel fell sick: before `fromS` where the effect was another until then. Layer -1 where unknown. */
  readonly onsetS: number;
  readonly layer: number;
}

/** The spells of one rosette at a time. */
export function spellsAt(spells: readonly SickSpell[], cell: number, plane: number, timeS: number): SickSpell[] {
  return spells.filter((s) => s.cell === cell && s.plane === plane && timeS >= s.fromS && timeS < s.toS);
}

/** Whether it makes the tensor another than all channels would: missing readings are done without anyhow. */
export function altersTensor({ effect, kind }: SickSpell): boolean {
  return effect === 'without' && kind !== 'dropout';
}
