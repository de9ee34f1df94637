// Simulated builds for tests and benches: as the text of a log, or straight as row blocks (the same numbers that reading
// the text would give), with the truth.
import { readFileSync } from 'node:fs';
import type { RowBlock } from '../../src/core/table/rowBlock.ts';
import { headerText } from '../../src/cli/simulation/headerText.ts';
import { readScenario } from '../../src/cli/simulation/readScenario.ts';
import type { Scenario } from '../../src/cli/simulation/scenario.ts';
import { SimulatedBuild } from '../../src/cli/simulation/simulatedBuild.ts';
import { plainStyle, rowsText } from '../../src/cli/simulation/tableText.ts';
import { trueEvents } from '../../src/cli/simulation/truth.ts';
import type { TrueEvent } from '../../src/cli/simulation/truth.ts';

export interface SimulatedLog {
  readonly text: string;
  readonly truth: readonly TrueEvent[];
  /** Standard deviation of one reading's strain along one fibre. */
  readonly sigma: number;
}

/** A scenario from YAML text; a wrong one fails the test with what is wrong. */
export function scenarioOf(yaml: string): Scenario {
  const read = readScenario(yaml);
  if (read.ok) return read.scenario;
  throw new Error(read.problems.map(({ range, message }) => `${range.line}:${range.column} ${message}`).join('\n'));
}

/** A scenario of the sample logs by name, such as `release`. */
export function sampleScenario(name: string): Scenario {
  return scenarioOf(readFileSync(new URL(`../../sample-logs/scenarios/${name}.yaml`, import.meta.url), 'utf8'));
}

/** The whole log as text; for builds that fit in memory. */
export function simulateBuild(scenario: Scenario): SimulatedLog {
  const build = new SimulatedBuild(scenario);
  const block = build.block(1024);
  const parts = [headerText(scenario)];
  while (build.fill(block) > 0) parts.push(rowsText(block, build.columns, plainStyle));
  return { text: parts.join(''), truth: trueEvents(build), sigma: build.sigma };
}

/** The log as row blocks of at most `capacity` rows, without any text; the block is reused. */
export function* simulatedRows(build: SimulatedBuild, capacity = 1024): Generator<RowBlock> {
  const counts = build.block(capacity);
  const namesLine = headerText(build.scenario).split('\n').length - 1;
  const block: RowBlock = {
    rows: 0,
    firstRow: 0,
    columns: build.columns.map(() => new Float64Array(capacity)),
    lines: new Float64Array(capacity),
    offsets: new Float64Array(capacity),
  };
  while (build.fill(counts) > 0) {
    block.firstRow += block.rows;
    block.rows = counts.rows;
    build.columns.forEach(({ decimals }, i) => {
      const scale = 10 ** decimals;
      for (let row = 0; row < counts.rows; row++) block.columns[i]![row] = counts.counts[i]![row]! / scale;
    });
    for (let row = 0; row < counts.rows; row++) block.lines[row] = namesLine + 1 + block.firstRow + row;
    yield block;
  }
}
