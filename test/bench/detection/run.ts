// `npm run bench:detection [-- --builds N] [--from N] [--ours-only] [--json]`: the fixed set of simulated builds through our
// detection and through four textbook methods, and the table of both. Nothing is asserted here.
import { parseArgs } from 'node:util';
import { confusion } from '../../../src/cli/scoring/tally.ts';
import type { ScoredLog } from '../../../src/cli/scoring/tally.ts';
import { benchBuild, benchBuildCount } from './benchBuilds.ts';
import { benchLog } from './benchLog.ts';
import type { BenchLog } from './benchLog.ts';
import { figuresOf, tableText } from './figures.ts';
import type { MethodFigures } from './figures.ts';
import { multiples, textbookNames } from './textbookMethods.ts';
import type { TextbookName } from './textbookMethods.ts';

const { values } = parseArgs({
  options: {
    builds: { type: 'string', default: String(benchBuildCount) },
    from: { type: 'string', default: '1' },
    'ours-only': { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
  },
});

const first = Math.max(0, Number(values.from) - 1);
const last = Math.min(benchBuildCount, first + Number(values.builds));
const logs: BenchLog[] = [];
for (let i = first; i < last; i++) {
  const started = performance.now();
  logs.push(benchLog(benchBuild(i), !values['ours-only']));
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  process.stderr.write(`build ${i + 1} of ${last}: ${logs.at(-1)!.ours.reports.length} events, ${seconds} s\n`);
}

const ours = figuresOf(
  'ours',
  logs.map((log) => log.ours),
);
const textbook = values['ours-only'] ? [] : textbookNames.map((name) => textbookFigures(name));
const suited = textbookNames.flatMap((_, i) => (textbook[i] ? [bestSuited(textbook[i])] : []));
if (values.json)
  console.log(JSON.stringify([ours, ...suited], (key, value: unknown) => (key === 'tally' ? undefined : value), 2));
else print();

/** One method at all its limits, the textbook's own first. */
function textbookFigures(name: TextbookName): MethodFigures[] {
  return multiples.map((multiple, m) => {
    const scored = logs.map((log): ScoredLog => log.textbook.get(name)![m]!);
    return figuresOf(multiple === 1 ? name : `${name} x${multiple}`, scored);
  });
}

/** The lowest limit that keeps the budget where nothing happens, else the one with the fewest such alarms. */
function bestSuited(all: readonly MethodFigures[]): MethodFigures {
  const told = all.filter(({ tally }) => tally.answers.some(({ report }) => report));
  const perBudget = ({ tally }: MethodFigures): number => (200 * tally.fromNothing) / tally.hours;
  const inBudget = told.find((figures) => perBudget(figures) <= 1);
  return inBudget ?? [...told].sort((a, b) => perBudget(a) - perBudget(b))[0] ?? all[0]!;
}

function print(): void {
  const { hours, answers } = ours.tally;
  console.log(`\n${logs.length} builds, ${hours.toFixed(0)} plate-hours, ${answers.length} true events\n`);
  console.log(
    'Ours beside the textbook methods, each at the limit that suits it best in hindsight (times its own limit):',
  );
  console.log(tableText([ours, ...suited]));
  if (textbook.length > 0) {
    console.log('\nThe textbook methods at their own limits for white normal noise and one false alarm in 200 h:');
    console.log(tableText([ours, ...textbook.map((all) => all[0]!)]));
  }
  console.log('\nOurs: what each kind was reported as:');
  for (const [kind, row] of [...confusion(ours.tally)].sort()) {
    console.log(
      `  ${kind.padEnd(10)} ${[...row]
        .sort(([, a], [, b]) => b - a)
        .map(([as, n]) => `${as} ${n}`)
        .join(', ')}`,
    );
  }
}
