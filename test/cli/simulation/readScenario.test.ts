// Scenarios: what stands in where nothing is said, and what is wrong told at its place.
import assert from 'node:assert/strict';
import { readScenario } from '../../../src/cli/simulation/readScenario.ts';
import { scenarioOf } from '../../support/simulatedBuild.ts';

const whole = `scenario: 1
build: {layers: 20}
plate: {size: [200 mm, 150 mm], thickness: 25 mm, material: H13}
cells: {A1: [60 mm, 50 mm], B1: [140 mm, 50 mm]}
parts:
  block: {outline: [[20 mm, 20 mm], [90 mm, 20 mm], [90 mm, 90 mm]]}
events:
- {kind: release, part: block, at: {layer: 9, after: 4 s}, size: 5 sigma}
`;

function problemsOf(from: string, to: string): string[] {
  assert.equal(whole.split(from).length, 2, `'${from}' stands in the scenario once`);
  const read = readScenario(whole.replace(from, () => to));
  assert.equal(read.ok, false, `'${to}' is refused`);
  return read.ok ? [] : read.problems.map(({ range, message }) => `${range.line}:${range.column} ${message}`);
}

describe('a scenario', () => {
  it('is turned to SI, with defaults for the rest', () => {
    const scenario = scenarioOf(whole);
    assert.deepEqual(scenario.plate.sizeM, [0.2, 0.15]);
    assert.equal(scenario.plate.youngsModulusPa, 210e9);
    assert.deepEqual(scenario.cells[1], { name: 'B1', xM: 0.14, yM: 0.05 });
    assert.equal(scenario.rateHz, 1);
    assert.equal(scenario.planes.length, 1);
    const [release] = scenario.breaks;
    assert.deepEqual(release!.size, { sigmas: 5 });
    assert.deepEqual(release!.at, { layer: 9, afterS: 4 });
    assert.deepEqual(
      release!.kernel.originM.map((v) => Math.round(v * 1e6)),
      [66667, 43333],
      "without an origin, the middle of the part's corners",
    );
  });

  it('takes a grid of cells', () => {
    const scenario = scenarioOf(
      whole.replace('{A1: [60 mm, 50 mm], B1: [140 mm, 50 mm]}', '{columns: 3, rows: 2, margin: 25 mm}'),
    );
    assert.deepEqual(
      scenario.cells.map(({ name, xM, yM }) => [name, Math.round(xM * 1e3), Math.round(yM * 1e3)]),
      [
        ['A1', 25, 25],
        ['B1', 100, 25],
        ['C1', 175, 25],
        ['A2', 25, 125],
        ['B2', 100, 125],
        ['C2', 175, 125],
      ],
    );
  });

  const cases: readonly (readonly [string, string, string, RegExp])[] = [
    ['a missing unit', 'thickness: 25 mm', 'thickness: 25', /^3:44 plate\.thickness: .*unit.*'30 mm'/],
    ['a wrong dimension', 'thickness: 25 mm', 'thickness: 25 s', /^3:44 plate\.thickness/],
    [
      'an unknown key, with the nearest',
      'layers: 20',
      'layers: 20, layer_hight: 40 um',
      /^2:21 'layer_hight'.*'layer_height'/,
    ],
    ['a missing key', 'layers: 20', 'name: x', /^2:8 build: 'layers' is missing/],
    ['an unknown kind', 'kind: release', 'kind: relese', /^8:10 events\.kind: 'relese'.*release, crack/],
    ['an unknown part', 'part: block', 'part: blok', /^8:25 events\.part: no part 'blok'; parts are block/],
    [
      'too few corners',
      '[90 mm, 20 mm], [90 mm, 90 mm]',
      '[90 mm, 20 mm]',
      /^6:20 parts\.block\.outline: needs three corners/,
    ],
    ['a place off its form', '[140 mm, 50 mm]', '140 mm', /^4:33 cells\.B1: a place needs x and y/],
    ['a version that is not known', 'scenario: 1', 'scenario: 2', /^1:11 scenario: only version 1/],
    ['a negative size', '5 sigma', '-5 um/m', /^8:66 events\.size: .*out of range/],
    ['YAML that cannot be read', 'cells: {', 'cells: [{', /^\d+:\d+ the YAML cannot be read here/],
  ];
  for (const [name, from, to, message] of cases) {
    it(`tells ${name} at its place`, () => {
      const problems = problemsOf(from, to);
      assert.match(problems[0]!, message);
    });
  }

  it('tells a fault on a column that is not there, with the columns that are', () => {
    const problems = problemsOf(
      '- {kind: release, part: block, at: {layer: 9, after: 4 s}, size: 5 sigma}',
      '- {kind: stuck, at: {time: 60 s}, channels: [A1_up_15]}',
    );
    assert.match(problems[0]!, /no column 'A1_up_15'; columns are time, layer, A1_T, A1_up_0/);
  });

  it('never throws, whatever the YAML holds', () => {
    for (const text of [
      '',
      '[]',
      'null',
      '3',
      'scenario: {}',
      'cells: [1, 2]',
      'events: {a: 1}',
      whole.replace('events:', 'events: 5 #'),
    ]) {
      const read = readScenario(text);
      assert.equal(read.ok, false, text);
    }
  });
});
