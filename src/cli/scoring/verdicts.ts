// How detection stands against what people made of it: verdicts on events, and what people saw that no event tells of.
import type { StrainEvent } from '../../core/change/events.ts';
import type { Judgement } from '../../core/notes/judge.ts';
import type { Notes } from '../../core/notes/notes.ts';
import { proportion, rate } from './intervals.ts';
import type { Interval } from './intervals.ts';

export interface JudgedLog {
  readonly events: readonly { readonly event: StrainEvent; readonly judgement: Judgement }[];
  readonly notes: Notes;
  readonly hours: number;
}

export interface VerdictTally {
  readonly hours: number;
  readonly confirmed: number;
  readonly falseAlarms: number;
  readonly falseMechanical: number;
  readonly unsure: number;
  readonly unjudged: number;
  /** Threads judged confirmed that hang on no event. */
  readonly missed: number;
  readonly kinds: ReadonlyMap<string, { confirmed: number; falseAlarms: number; unsure: number; unjudged: number }>;
}

export function tallyVerdicts(logs: readonly JudgedLog[]): VerdictTally {
  const kinds = new Map<string, { confirmed: number; falseAlarms: number; unsure: number; unjudged: number }>();
  let [hours, missed, falseMechanical] = [0, 0, 0];
  for (const log of logs) {
    hours += log.hours;
    const joined = new Set(log.events.flatMap(({ judgement }) => judgement.threads.map(({ id }) => id)));
    missed += log.notes.threads.filter(({ id, verdict }) => verdict === 'confirmed' && !joined.has(id)).length;
    for (const { event, judgement } of log.events) {
      const row = kinds.get(event.kind) ?? { confirmed: 0, falseAlarms: 0, unsure: 0, unjudged: 0 };
      kinds.set(event.kind, row);
      if (judgement.verdict === 'confirmed') row.confirmed++;
      else if (judgement.verdict === 'unsure') row.unsure++;
      else if (judgement.verdict === '') row.unjudged++;
      else {
        row.falseAlarms++;
        if (event.nature === 'mechanical') falseMechanical++;
      }
    }
  }
  const total = (key: 'confirmed' | 'falseAlarms' | 'unsure' | 'unjudged'): number =>
    [...kinds.values()].reduce((sum, row) => sum + row[key], 0);
  return {
    hours,
    confirmed: total('confirmed'),
    falseAlarms: total('falseAlarms'),
    falseMechanical,
    unsure: total('unsure'),
    unjudged: total('unjudged'),
    missed,
    kinds,
  };
}

/** Of the events judged right or wrong, those judged right. */
export function rightShare({ confirmed, falseAlarms }: VerdictTally): Interval {
  return proportion(confirmed, confirmed + falseAlarms);
}

/** Of what people confirmed, what was told as an event. */
export function toldShare({ confirmed, missed }: VerdictTally): Interval {
  return proportion(confirmed, confirmed + missed);
}

export function falseMechanicalRate({ falseMechanical, hours }: VerdictTally): Interval {
  return rate(falseMechanical, hours);
}
