// Scores as JSON, `underplate-score/1`: keys may be added, never changed. Unknown values are null.
import type { Interval } from './intervals.ts';
import {
  confusion,
  falseMechanicalPerHour,
  faultsNamed,
  inBand,
  kindsRight,
  medianOf,
  recall,
  sizeBands,
} from './tally.ts';
import type { Answer, Tally } from './tally.ts';
import { falseMechanicalRate, rightShare, toldShare } from './verdicts.ts';
import type { VerdictTally } from './verdicts.ts';

const scoreContractName = 'underplate-score/1';

export function scoreJson(truth: Tally | undefined, verdicts: VerdictTally | undefined): string {
  const content = {
    schema: scoreContractName,
    ...(truth && { truth: truthScore(truth) }),
    ...(verdicts && { verdicts: verdictScore(verdicts) }),
  };
  return `${JSON.stringify(content, null, 2)}\n`;
}

function truthScore(tally: Tally): object {
  const { answers } = tally;
  const mechanical = answers.filter(({ event }) => event.nature === 'mechanical');
  const recallOf = (some: readonly Answer[]): object => {
    const { hits, trials, ...share } = recall(some);
    return { found: hits, of: trials, ...interval(share) };
  };
  const delayS = medianOf(mechanical, (answer) => answer.delayS);
  const errorMm = medianOf(mechanical, (answer) => 1e3 * answer.placeErrorM);
  const errorPitches = medianOf(mechanical, (answer) => answer.placeErrorPitches);
  return {
    hours: tally.hours,
    events: answers.length,
    recall_lasting: sizeBands.map((band) => ({
      from_sigmas: band.from,
      to_sigmas: known(band.to),
      ...recallOf(answers.filter((answer) => inBand(answer, band))),
    })),
    recall_by_kind: Object.fromEntries(
      [...new Set(answers.map(({ event }) => event.kind))]
        .sort()
        .map((kind) => [kind, recallOf(answers.filter(({ event }) => event.kind === kind))]),
    ),
    median_delay_s: known(delayS.value),
    median_delay_s_interval: interval(delayS),
    median_place_error_mm: known(errorMm.value),
    median_place_error_mm_interval: interval(errorMm),
    median_place_error_pitches: known(errorPitches.value),
    median_place_error_pitches_interval: interval(errorPitches),
    false_mechanical: tally.falseMechanical,
    false_mechanical_per_hour: interval(falseMechanicalPerHour(tally)),
    false_other: tally.falseOther,
    repeats: tally.repeats,
    kinds_right: interval(kindsRight(tally)),
    faults_named: interval(faultsNamed(tally)),
    reported_as: Object.fromEntries([...confusion(tally)].sort().map(([kind, row]) => [kind, Object.fromEntries(row)])),
  };
}

function verdictScore(tally: VerdictTally): object {
  return {
    hours: tally.hours,
    confirmed: tally.confirmed,
    false_alarms: tally.falseAlarms,
    unsure: tally.unsure,
    not_judged: tally.unjudged,
    seen_by_people_only: tally.missed,
    right: interval(rightShare(tally)),
    told: interval(toldShare(tally)),
    false_mechanical_per_hour: interval(falseMechanicalRate(tally)),
    kinds: Object.fromEntries(
      [...tally.kinds]
        .sort()
        .map(([kind, { confirmed, falseAlarms, unsure, unjudged }]) => [
          kind,
          { confirmed, false_alarms: falseAlarms, unsure, not_judged: unjudged },
        ]),
    ),
  };
}

function interval({ value, low, high }: Interval): { value: number | null; low: number | null; high: number | null } {
  return { value: known(value), low: known(low), high: known(high) };
}

/** JSON has neither NaN nor infinity. */
function known(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
