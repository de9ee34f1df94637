// The files of sample-logs/ from their scenarios: what `npm run samples` writes and a test compares bit by bit.
import { strainLogLines } from '../../src/cli/simulation/headerText.ts';
import type { Scenario } from '../../src/cli/simulation/scenario.ts';
import { SimulatedBuild } from '../../src/cli/simulation/simulatedBuild.ts';
import { rowsText } from '../../src/cli/simulation/tableText.ts';
import type { TableStyle } from '../../src/cli/simulation/tableText.ts';
import { truthText } from '../../src/cli/simulation/truth.ts';
import { sampleScenario, simulateBuild } from './simulatedBuild.ts';

const plainSamples = [
  ...['good-build', 'good-build-2', 'good-build-3', 'release', 'sick-sensor', 'two-planes', 'strike'],
] as const;

/** Every generated file by name. */
export function sampleFiles(): Map<string, string> {
  const files = new Map<string, string>();
  for (const name of plainSamples) {
    const scenario = sampleScenario(name);
    const log = `${name}.strain.csv`;
    files.set(log, simulateBuild(scenario).text);
    files.set(`truth/${name}.yaml`, truthText(new SimulatedBuild(scenario), log));
  }
  files.set('header-mistakes.strain.csv', spoilt(simulateBuild(sampleScenario('header-mistakes')).text));
  const foreign = sampleScenario('foreign-table');
  files.set('foreign-table.csv', foreignTable(foreign));
  files.set('foreign-table.csv.header.yaml', companionHeader(foreign));
  files.set('truth/foreign-table.yaml', truthText(new SimulatedBuild(foreign), 'foreign-table.csv'));
  return files;
}

/** The mistakes of header-mistakes.strain.csv, each a text and what stands in its place. */
export const headerMistakes: readonly (readonly [string, string])[] = [
  ['layer_height: 40 um', 'layer_height: 40'],
  ['up: {height: 9 mm}', 'up: {height: 9 MPa}'],
  ['poissons_ratio: 0.33', 'poissons_ratio: 33'],
  ['B1: {at: [125 mm, 50 mm]}', 'B1: {at: [1250 mm, 50 mm]}'],
  ['A1_up_45: {cell: A1, plane: up, kind: bragg', 'A1_up_45: {cell: A1, plane: up, kind: brag'],
  ['C1_up_90: {cell: C1', 'C1_up_90: {cell: C7'],
  [
    'B2_up_0: {cell: B2, plane: up, kind: bragg, direction: 0 deg',
    'B2_up_0: {cell: B2, plane: up, kind: bragg, direction: 0',
  ],
  ['datum: {from: 60 s, to: 180 s}', 'datum: {from: 180 s, to: 60 s}'],
  ['recoater: {direction', 'recoater: {dirction'],
];

function spoilt(text: string): string {
  let log = text;
  for (const [right, wrong] of headerMistakes) {
    if (!log.includes(right)) throw new Error(`no '${right}' to spoil`);
    log = log.replace(right, wrong);
  }
  return log;
}

const preamble = ['Interrogator export', 'Rate;0,5 Hz', 'Sensors;12 strain, 4 temperature', ''];

function foreignTable(scenario: Scenario): string {
  const build = new SimulatedBuild(scenario);
  const startMs = Date.parse(scenario.build.started);
  const stamp = (timeS: number): string => {
    const [date, time] = new Date(startMs + Math.round(timeS * 1000)).toISOString().slice(0, 23).split('T');
    const [year, month, day] = date!.split('-');
    return `${day}.${month}.${year} ${time!.replace('.', ',')}`;
  };
  const style: TableStyle = { delimiter: ';', decimal: ',', newline: '\r\n', timeText: stamp };
  const names = build.columns.map(({ name }) => (name === 'time' ? 'Date and time' : name));
  const parts = [[...preamble, names.join(';'), ''].join('\r\n')];
  const block = build.block(1024);
  while (build.fill(block) > 0) parts.push(rowsText(block, build.columns, style));
  return parts.join('');
}

function companionHeader(scenario: Scenario): string {
  const columns = new SimulatedBuild(scenario).columns
    .filter(({ unit, role }) => unit !== '' && role !== 'time')
    .map(({ name, unit }) => `  - {name: ${name}, unit: ${unit}}`);
  return [
    '# How foreign-table.csv is to be read: the strain_log block of a log, and the form of its table.',
    ...strainLogLines(scenario),
    'columns: {time: Date and time}',
    'table:',
    "  delimiter: ';'",
    "  decimal: ','",
    `  skip_lines: ${preamble.length}`,
    "  time_format: 'DD.MM.YYYY HH:mm:ss,SSS'",
    '  columns:',
    ...columns,
    '',
  ].join('\n');
}
