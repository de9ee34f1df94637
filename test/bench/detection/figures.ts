// The lines of the detection bench for one method over all builds.
import type { Interval } from '../../../src/cli/scoring/intervals.ts';
import {
  falseMechanicalPerHour,
  faultsNamed,
  found,
  kindsRight,
  medianOf,
  recall,
  tally,
} from '../../../src/cli/scoring/tally.ts';
import type { Answer, ScoredLog, Tally } from '../../../src/cli/scoring/tally.ts';

export interface Figure {
  readonly name: string;
  readonly aim: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** How many were tried, or counted. */
  readonly count: number;
}

export interface MethodFigures {
  readonly method: string;
  readonly figures: readonly Figure[];
  readonly tally: Tally;
}

export function figuresOf(method: string, logs: readonly ScoredLog[]): MethodFigures {
  const all = tally(logs);
  const labelled = (label: string): Answer[] => all.answers.filter(({ event }) => event.label === label);
  const recalled = (name: string, label: string, aim = ''): Figure => {
    const { trials, ...interval } = recall(labelled(label));
    return { name, aim, ...interval, count: trials };
  };
  const perHour = falseMechanicalPerHour(all);
  const mechanical = all.answers.filter(({ event }) => event.nature === 'mechanical');
  const fives = labelled('one cell, 5 sigma');
  const withCount = (name: string, aim: string, { trials, ...interval }: Interval & { trials: number }): Figure => ({
    name,
    aim,
    ...interval,
    count: trials,
  });
  const figures: Figure[] = [
    recalled('recall, 5 sigma in one cell', 'one cell, 5 sigma', '>= 0.98'),
    recalled('recall, 3 sigma over three cells', 'three cells, 3 sigma', '>= 0.95'),
    recalled('recall, 8 sigma in one cell', 'one cell, 8 sigma'),
    recalled('recall, gross', 'gross'),
    recalled('recall, 3 sigma in one cell', 'one cell, 3 sigma'),
    recalled('recall, recoater strike', 'strike'),
    recalled('recall, creep-off', 'creep-off'),
    middle('median delay at 5 sigma, samples', '<= 3', fives, (answer) => answer.delaySamples),
    {
      name: 'false mechanical alarms per 200 h',
      aim: '<= 1',
      value: 200 * perHour.value,
      low: 200 * perHour.low,
      high: 200 * perHour.high,
      count: all.falseMechanical,
    },
    {
      name: 'repeats of an event told already, per 200 h',
      aim: '',
      value: (200 * all.repeats) / all.hours,
      low: NaN,
      high: NaN,
      count: 0,
    },
    middle('median place error / cell pitch', '<= 0.25', mechanical, (answer) => answer.placeErrorPitches),
    withCount('kinds right', '>= 0.95', kindsRight(all)),
    withCount('sensor faults named', '>= 0.90', faultsNamed(all)),
  ];
  return { method, figures, tally: all };
}

function middle(name: string, aim: string, answers: readonly Answer[], value: (answer: Answer) => number): Figure {
  return { name, aim, ...medianOf(answers, value), count: answers.filter(found).length };
}

export function tableText(methods: readonly MethodFigures[]): string {
  const head = ['', 'aim', ...methods.map(({ method }) => method)];
  const rows = methods[0]!.figures.map((figure, line) => [
    figure.name,
    figure.aim,
    ...methods.map(({ figures }, m) => cellText(figures[line]!, m === 0)),
  ]);
  const widths = head.map((_, i) => Math.max(...[head, ...rows].map((row) => row[i]!.length)));
  const line = (row: readonly string[]): string =>
    row.map((text, i) => (i === 0 ? text.padEnd(widths[i]!) : text.padStart(widths[i]!))).join('  ');
  return [line(head), line(widths.map((width) => '-'.repeat(width))), ...rows.map(line)].join('\n');
}

/** The first method with its interval and count, the others bare. */
function cellText({ value, low, high, count }: Figure, whole: boolean): string {
  if (!Number.isFinite(value)) return '-';
  const text = Number(value.toFixed(3)).toString();
  if (!whole) return text;
  const interval = Number.isFinite(low) ? ` (${Number(low.toFixed(3))} to ${Number(high.toFixed(3))})` : '';
  return `${text}${interval}${count > 0 ? ` n ${count}` : ''}`;
}
