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
    ['a range in the unit that was written', 'thickness: 25 mm', 'thickness: 50 um', /^3:44 .*; give at least 100 um$/],
    ['a range between two limits', 'layers: 20', 'layers: 20, layer_height: 2 mm', /^2:35 .*; give 0\.001 mm to 1 mm$/],
    [
      'a material that is not known, once, with the nearest',
      'material: H13',
      'material: IN719',
      /^3:61 plate\.material: 'IN719' is not known; did you mean 'IN718', or give its youngs_modulus, .*yield_stress$/,
    ],
    [
      'a cell off the plate',
      '[140 mm, 50 mm]',
      '[140 mm, 151 mm]',
      /^4:33 cells\.B1: .*outside the plate \(200 mm by 150 mm\)/,
    ],
    [
      'a grid wider than the plate',
      '{A1: [60 mm, 50 mm], B1: [140 mm, 50 mm]}',
      '{columns: 3, rows: 2, margin: 75 mm}',
      /^4:38 cells\.margin: .*give less than 75 mm/,
    ],
    ['a part off the plate', '[90 mm, 90 mm]]', '[-9 mm, 90 mm]]', /^6:53 parts\.block\.outline: .*outside the plate/],
    ['a part without area', '[90 mm, 90 mm]]', '[60 mm, 20 mm]]', /^6:20 parts\.block\.outline: .*enclose no area/],
    [
      'an origin off the plate',
      '5 sigma',
      '5 sigma, origin: [60 mm, 200 mm]',
      /^8:83 events\.origin: .*outside the plate/,
    ],
    ['an end off the plate', '5 sigma', '5 sigma, shape: edge, to: [250 mm, 20 mm]', /^8:92 events\.to: .*outside the/],
    [
      'a layer after the last',
      'layer: 9',
      'layer: 21',
      /^8:44 events\.at\.layer: there is no layer 21; give one of 1 to 20/,
    ],
    [
      'a time after the last layer',
      '{layer: 9, after: 4 s}',
      '{layer: 20, after: 9 min}',
      /^8:55 events\.at\.after: this is after the last row, at \d+ s/,
    ],
    [
      'a time after the last row',
      '{layer: 9, after: 4 s}',
      '{time: 999999 s}',
      /^8:43 events\.at\.time: this is after the last row, at \d+ s/,
    ],
    [
      'a direction that is there twice',
      'plate: {',
      'fibres: {directions: [0 deg, 180 deg, 0.0 deg]}\nplate: {',
      /^3:39 fibres\.directions: 0 deg is there twice/,
    ],
    [
      'a datum window that ends before it begins',
      'plate: {',
      'datum: {from: 3 min, to: 60 s}\nplate: {',
      /^3:26 datum\.to: the window, 180 s to 60 s, is empty/,
    ],
    [
      'one that is empty by its default',
      'plate: {',
      'datum: {from: 3 min}\nplate: {',
      /^3:15 datum\.from: .* is empty/,
    ],
    [
      'one without a warm-up',
      'plate: {',
      'warm_up: 0 s\nplate: {',
      /^3:10 warm_up: it leaves no time for a datum window/,
    ],
    [
      'one past the end',
      'plate: {',
      'datum: {from: 60 s, to: 5 h}\nplate: {',
      /^3:25 datum\.to: the window, 60 s to 18000 s, is not over by the last row, at \d+ s/,
    ],
    [
      'a rate that gives no row',
      'plate: {',
      'rate: 0.001 Hz\nplate: {',
      /^3:7 rate: at this rate the log would have no row/,
    ],
    [
      'planes that the header of the log could not hold',
      'plate: {',
      'planes: {up: {height: 5 mm}, too: {height: 5 mm}}\nplate: {',
      /^1:1 the header of the log would be refused: 'too' lies at the height of 'up'/,
    ],
    ['YAML that cannot be read', 'cells: {', 'cells: [{', /^\d+:\d+ the YAML cannot be read here/],
  ];
  for (const [name, from, to, message] of cases) {
    it(`tells ${name} at its place`, () => {
      const problems = problemsOf(from, to);
      assert.match(problems[0]!, message);
      if (!name.startsWith('YAML')) assert.equal(problems.length, 1, problems.join('\n'));
    });
  }

  it('takes a material of its own, whose constants are all given, by any name', () => {
    const constants =
      'youngs_modulus: 120 GPa, poissons_ratio: 0.3, thermal_expansion: 9e-6 1/K, yield_stress: 400 MPa';
    const { plate } = scenarioOf(whole.replace('material: H13', `material: alloy 7, ${constants}`));
    assert.equal(plate.material, 'alloy 7');
    assert.equal(plate.youngsModulusPa, 120e9);
  });

  it('takes what lies on the edges of plate and log', () => {
    const { cells, breaks } = scenarioOf(
      whole
        .replace('[140 mm, 50 mm]', '[200 mm, 150 mm]')
        .replace('layer: 9, after: 4 s', 'layer: 20')
        .replace('5 sigma', '5 sigma, origin: [0 mm, 0 mm]'),
    );
    assert.deepEqual([cells[1]!.xM, cells[1]!.yM], [0.2, 0.15]);
    assert.deepEqual(breaks[0]!.kernel.originM, [0, 0]);
  });

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
