// Scores as a page for a terminal: shares in per cent with their 95 % intervals, rates per hour.
import { countOf } from '../../core/display/numberFormat.ts';
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

export function truthScoreText(tally: Tally): string {
  const { answers, hours } = tally;
  return [
    `Against the truth: ${countOf(answers.length, 'true event', 'true events')} in ${hours.toFixed(2)} h of log. Brackets: 95 % interval.`,
    '',
    ...foundLines(answers),
    '',
    ...alarmLines(tally),
    '',
    'Reported as:',
    ...[...confusion(tally)]
      .sort()
      .map(([kind, row]) => line(kind, [...row].map(([as, n]) => `${as} ${n}`).join(', '))),
    '',
  ].join('\n');
}

function foundLines(answers: readonly Answer[]): string[] {
  const ofKind = (kind: string): Answer[] => answers.filter(({ event }) => event.kind === kind);
  const ofNature = (nature: string): Answer[] => answers.filter(({ event }) => event.nature === nature);
  return [
    'Found, of breaks that last:',
    ...sizeBands.map((band) =>
      recallLine(
        band.name,
        answers.filter((answer) => inBand(answer, band)),
      ),
    ),
    ...['strike', 'creep-off'].map((kind) => recallLine(kind, ofKind(kind))),
    'Found, of the rest:',
    recallLine('thermal', ofNature('thermal')),
    recallLine('sensor faults', ofNature('sensor')),
  ];
}

function alarmLines(tally: Tally): string[] {
  const mechanical = tally.answers.filter(({ event }) => event.nature === 'mechanical');
  return [
    line(
      'median delay of mechanical events',
      medianText(mechanical, (a) => a.delayS, 's'),
    ),
    line(
      'median place error',
      both(
        medianText(mechanical, (a) => 1e3 * a.placeErrorM, 'mm'),
        medianText(mechanical, (a) => a.placeErrorPitches, 'cell pitches'),
      ),
    ),
    line('false mechanical alarms', `${tally.falseMechanical}, ${ratePerHour(falseMechanicalPerHour(tally))}`),
    line('other false reports', String(tally.falseOther)),
    line('repeats of an event told already', String(tally.repeats)),
    line('mechanical kinds right', shareText(kindsRight(tally))),
    line('sensor faults named', shareText(faultsNamed(tally))),
  ];
}

export function verdictScoreText(tally: VerdictTally): string {
  const perHour = falseMechanicalRate(tally);
  return [
    `Against the verdicts in the notes, ${tally.hours.toFixed(2)} h of log. Brackets: 95 % interval.`,
    '',
    line('events confirmed', `${tally.confirmed} (unsure ${tally.unsure}, not judged ${tally.unjudged})`),
    line('events right, of those judged', shareText(rightShare(tally))),
    line('told, of what people confirmed', `${shareText(toldShare(tally))}; ${tally.missed} seen by people only`),
    line('false mechanical alarms', `${tally.falseMechanical}, ${ratePerHour(perHour)}`),
    line('other false alarms', String(tally.falseAlarms - tally.falseMechanical)),
    '',
    'By kind:',
    ...[...tally.kinds]
      .sort()
      .map(([kind, row]) =>
        line(
          kind,
          `confirmed ${row.confirmed}, false alarm ${row.falseAlarms}, unsure ${row.unsure}, not judged ${row.unjudged}`,
        ),
      ),
    '',
  ].join('\n');
}

function recallLine(name: string, answers: readonly Answer[]): string {
  const { hits, trials, ...share } = recall(answers);
  return line(name, trials === 0 ? 'none to find' : `${hits} of ${trials}, ${shareText(share)}`);
}

function line(name: string, text: string): string {
  return `  ${name.padEnd(34)}${text}`;
}

function shareText({ value, low, high }: Interval): string {
  if (Number.isNaN(value)) return 'nothing to judge';
  const percent = (share: number): string => (100 * share).toFixed(1);
  return `${percent(value)} % [${percent(low)} to ${percent(high)}]`;
}

function ratePerHour({ value, low, high }: Interval): string {
  if (Number.isNaN(value)) return 'no time to judge by';
  return `${value.toPrecision(3)} per h [${low.toPrecision(3)} to ${high.toPrecision(3)}]`;
}

/** One dash where neither is known. */
function both(one: string, other: string): string {
  return one === other ? one : `${one}, ${other}`;
}

function medianText(answers: readonly Answer[], value: (answer: Answer) => number, unit: string): string {
  const { value: middle, low, high } = medianOf(answers, value);
  if (!Number.isFinite(middle)) return '-';
  const plain = (one: number): string => one.toFixed(one < 1 ? 2 : 1);
  const bounds = Number.isFinite(low) ? `${plain(low)} to ${plain(high)}` : 'too few for an interval';
  return `${plain(middle)} ${unit} [${bounds}]`;
}
