// A simulated build as a whole: the same rows whatever the block size, text and numbers that agree, and readings from which
// the product's strain step, written apart, gets back the strain that was put in.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { SimulatedBuild } from '../../../src/cli/simulation/simulatedBuild.ts';
import type { Scenario } from '../../../src/cli/simulation/scenario.ts';
import { trueEvents, truthText } from '../../../src/cli/simulation/truth.ts';
import { readTruth } from '../../../src/cli/scoring/readTruth.ts';
import { datumCode } from '../../../src/core/pipeline/datumProblems.ts';
import { Session } from '../../../src/core/session.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { sampleScenario, scenarioOf, simulateBuild, simulatedRows } from '../../support/simulatedBuild.ts';

const quiet = `scenario: 1
build: {layers: 12}
warm_up: 120 s
plate: {size: [200 mm, 200 mm], thickness: 25 mm, material: Al 6061-T6, restraint: 0}
planes: {low: {height: -8 mm}, up: {height: 8 mm}}
cells: {A1: [50 mm, 60 mm], B1: [150 mm, 60 mm]}
temperature: {noise: 0 K, lag: 0 s, decimals: 6}
noise: {white: 0 um/m, slow: 0 um/m}
fibres: {KIND, direction_error: 0 deg, gain_error: 0}
datum: {from: 20 s, to: 120 s}
recoater: {rub: 0 um/m}
`;
const kinds = [
  'kind: bragg, decimals: 7',
  'kind: spectral-shift, decimals: 6, directions: [0 deg, 60 deg, 120 deg]',
  'kind: strain, decimals: 5, directions: [10 deg, 55 deg, 100 deg, 145 deg]',
] as const;

/** Strain tensors per cell and plane, row by row, as the product reads the log's text. */
function tensorsOf(scenario: Scenario): {
  timeS: number[];
  read: (cell: number, plane: number, row: number) => number[];
} {
  const session = new Session({ settings: {}, pyramid: false });
  session.push(new TextEncoder().encode(simulateBuild(scenario).text));
  session.finish();
  // The temperature may well move in the datum window: that it strains nothing is what is tested.
  const told = session.problems.filter(({ severity, code }) => severity !== 'information' && code !== datumCode);
  assert.deepEqual(
    told.map(({ message }) => message),
    [],
  );
  const { header, layouts, context } = session.basis!;
  const build = new SimulatedBuild(scenario);
  const [rows] = [...simulatedRows(build, build.rows)];
  const cells = layouts.map((layout) => new CellStrain(header, layout, context, rows!.rows).convert(rows!));
  return {
    timeS: Array.from(rows!.columns[0]!.subarray(0, rows!.rows)),
    read: (cell, plane, row) => {
      const { ex, ey, gxy } = cells[cell]!.rosettes[plane]!;
      return [ex[row]!, ey[row]!, gxy[row]!];
    },
  };
}

describe('a simulated build', () => {
  it('has the same rows whatever the block size', () => {
    const scenario = { ...sampleScenario('strike'), build: { ...sampleScenario('strike').build, layers: 3 } };
    const whole = new SimulatedBuild(scenario);
    const once = whole.block(whole.rows);
    whole.fill(once);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 97 }), (capacity) => {
        const build = new SimulatedBuild(scenario);
        const block = build.block(capacity);
        let row = 0;
        while (build.fill(block) > 0) {
          block.counts.forEach((column, i) =>
            assert.deepEqual(column.subarray(0, block.rows), once.counts[i]!.subarray(row, row + block.rows)),
          );
          row += block.rows;
        }
        assert.equal(row, whole.rows);
      }),
      { numRuns: 12 },
    );
  });

  it('reads back from its text to the very numbers of its row blocks', () => {
    const scenario = sampleScenario('sick-sensor');
    const columns: number[][] = [];
    const session = new Session({
      settings: {},
      pyramid: false,
      onBlock: (block) => {
        block.columns.forEach((column, i) => (columns[i] ??= []).push(...column.subarray(0, block.rows)));
      },
    });
    session.push(new TextEncoder().encode(simulateBuild(scenario).text));
    session.finish();
    const build = new SimulatedBuild(scenario);
    const [direct] = [...simulatedRows(build, build.rows)];
    assert.equal(columns[0]!.length, build.rows);
    columns.forEach((column, i) =>
      assert.deepEqual(Float64Array.from(column), direct!.columns[i]!.subarray(0, build.rows)),
    );
  });

  for (const kind of kinds) {
    it(`a change of temperature alone strains nothing in a free plate (${kind.split(',')[0]})`, () => {
      const scenario = scenarioOf(`${quiet.replace('KIND', kind)}heat: {start: 40 deg_C, set: 80 deg_C}\n`);
      const { timeS, read } = tensorsOf(scenario);
      for (const row of [0, 60, 200, timeS.length - 1]) {
        for (const [cell, plane] of [
          [0, 0],
          [1, 1],
        ] as const) {
          for (const value of read(cell, plane, row)) assert.ok(Math.abs(value) < 2e-9, `${value} at row ${row}`);
        }
      }
    });

    it(`a release changes the tensors by what its truth says (${kind.split(',')[0]})`, () => {
      const scenario = scenarioOf(
        `${quiet.replace('KIND', kind)}events:
- {kind: release, at: {time: 300 s}, origin: [70 mm, 80 mm], size: 40 um/m, direction: 30 deg, ratio: 0.3}
`,
      );
      const { timeS, read } = tensorsOf(scenario);
      const before = timeS.findIndex((t) => t >= 299);
      const after = timeS.findIndex((t) => t >= 301);
      const [event] = trueEvents(new SimulatedBuild(scenario));
      assert.ok(event!.cells.length >= 2);
      for (const { cell, plane, change } of event!.cells) {
        const [c, p] = [
          scenario.cells.findIndex(({ name }) => name === cell),
          scenario.planes.findIndex(({ name }) => name === plane),
        ];
        const [was, is] = [read(c, p, before), read(c, p, after)];
        change.forEach((value, i) => {
          assert.ok(
            Math.abs(is[i]! - was[i]! - value) < 5e-9,
            `${cell} ${plane} component ${i}: ${is[i]! - was[i]!}, true ${value}`,
          );
        });
      }
      assert.ok(Math.abs(event!.size - 40e-6) < 1e-12);
    });
  }

  it('contracts the plate under a part layer by layer, and bends it', () => {
    const scenario = scenarioOf(`${quiet.replace('KIND', kinds[0])}parts:
  block: {outline: [[20 mm, 30 mm], [80 mm, 30 mm], [80 mm, 90 mm], [20 mm, 90 mm]], cycle: 0 um/m, anisotropy: 0}
`);
    const { timeS, read } = tensorsOf(scenario);
    const [low, up] = [read(0, 0, timeS.length - 1), read(0, 1, timeS.length - 1)];
    assert.ok(up[0]! < -1e-6 && up[1]! < -1e-6, 'the upper plane is pressed');
    assert.ok(up[0]! < low[0]!, 'more than the lower one');
    const half = read(
      0,
      1,
      timeS.findIndex((t) => t >= 120 + (timeS.at(-1)! - 120) / 2),
    );
    assert.ok(up[0]! < half[0]!, 'and more with every layer');
  });

  it('lets a layer fade in its own direction when the next begins with turned scan lines: nothing jumps', () => {
    // Warmth neither comes nor goes at once, so no row may differ from the one before by more than the fastest warming.
    const part = 'outline: [[20 mm, 20 mm], [120 mm, 20 mm], [120 mm, 120 mm], [20 mm, 120 mm]]';
    const pull = 'shrinkage: 0 um/m, cycle: 12 um/m, anisotropy: 0.4, scan_turn: 90 deg';
    const yaml = `${quiet.replace('KIND', kinds[2])}rate: 20 Hz\nparts: {block: {${part}, ${pull}}}\n`;
    const { timeS, read } = tensorsOf(scenarioOf(yaml));
    const steps = timeS.map((_, row) => (row === 0 ? 0 : Math.abs(read(0, 1, row)[0]! - read(0, 1, row - 1)[0]!)));
    const range = timeS.map((_, row) => read(0, 1, row)[0]!);
    const swing = Math.max(...range) - Math.min(...range);
    assert.ok(swing > 1e-6, `it swings by ${swing}`);
    assert.ok(Math.max(...steps) < 0.02 * swing, `a step of ${Math.max(...steps)} in a swing of ${swing}`);
  });

  it('sizes breaks by the noise of one reading where asked in sigma', () => {
    const scenario = sampleScenario('release');
    const inSigma = { ...scenario, breaks: scenario.breaks.map((one) => ({ ...one, size: { sigmas: 7 } })) };
    const build = new SimulatedBuild(inSigma);
    const [event] = trueEvents(build);
    assert.ok(Math.abs(event!.size - 7 * build.sigma) < 1e-12);
    // The stated noise is the noise that a reader finds in the strain along one fibre before anything happens.
    const warm = { ...inSigma, warmUpS: 3000, heat: { ...scenario.heat, wanderK: 0 } };
    const [rows] = simulatedRows(new SimulatedBuild(warm), 3000);
    const { columns } = new SimulatedBuild(warm);
    const at = (wanted: string): number => columns.findIndex(({ name }) => name === wanted);
    const [nm, heat] = [rows!.columns[at('B2_up_45')]!, rows!.columns[at('B2_T')]!];
    const { restNm } = columns[at('B2_up_45')]!;
    const strain = Array.from({ length: 2999 }, (_, i) => {
      const row = i + 1;
      const step = nm[row]! - nm[row - 1]! - restNm * (6.5e-6 + 0.78 * 23.6e-6) * (heat[row]! - heat[row - 1]!);
      return step / restNm / 0.78;
    });
    const stepSize = Math.sqrt(strain.reduce((sum, value) => sum + value * value, 0) / strain.length);
    // Steps of white noise have sqrt 2 its size; slow noise adds little to them, so the bound is loose on one side.
    assert.ok(stepSize / Math.SQRT2 > 0.85 * build.sigma && stepSize / Math.SQRT2 < 1.05 * build.sigma, `${stepSize}`);
  });

  it('makes sick sensors sick as asked, and only those', () => {
    const scenario = sampleScenario('sick-sensor');
    const sound = new SimulatedBuild({ ...scenario, faults: [] });
    const sick = new SimulatedBuild(scenario);
    const [a, b] = [[...simulatedRows(sound, sound.rows)][0]!, [...simulatedRows(sick, sick.rows)][0]!];
    const names = sick.columns.map(({ name }) => name);
    const timeS = a.columns[0]!;
    const differing = names.filter((_, i) => a.columns[i]!.some((value, row) => !Object.is(value, b.columns[i]![row])));
    assert.deepEqual(new Set(differing), new Set(scenario.faults.flatMap(({ channels }) => channels)));
    for (const event of trueEvents(sick)) {
      const column = b.columns[names.indexOf(event.channels[0]!)]!;
      const inside = timeS.findIndex((t) => t >= event.timeS + 10);
      if (event.kind === 'dropout') assert.ok(Number.isNaN(column[inside]!));
      if (event.kind === 'stuck') assert.equal(column[inside], column[inside + 20]);
    }
    const spikes = names.indexOf('C1_up_90');
    const wild = Array.from(timeS).filter((_, row) => a.columns[spikes]![row] !== b.columns[spikes]![row]);
    assert.equal(wild.length, 7);
  });

  it('lets a channel wander to its size by the end of the build, and spikes come until then, where no length is given', () => {
    const { faults, ...scenario } = sampleScenario('sick-sensor');
    const wander = faults.find(({ kind }) => kind === 'wander')!;
    assert.equal(wander.lastsS, Infinity);
    const sizes: number[] = [];
    const micro = 1e-6;
    for (let seed = 1; seed <= 12; seed++) {
      const one = { ...scenario, seed };
      const sound = new SimulatedBuild({ ...one, faults: [] });
      const sick = new SimulatedBuild({ ...one, faults: [{ ...wander, size: { strain: 45 * micro }, sign: -1 }] });
      const [a, b] = [[...simulatedRows(sound, sound.rows)][0]!, [...simulatedRows(sick, sick.rows)][0]!];
      const column = sick.columns.findIndex(({ name }) => name === wander.channels[0]);
      const nm = b.columns[column]![b.rows - 1]! - a.columns[column]![a.rows - 1]!;
      // Bragg: shift over wavelength is gain times strain, with the usual gain of 0.78 and wavelengths of 1550 +- 20 nm.
      sizes.push(nm / (1550 * 0.78 * micro));
    }
    // Half of it is a random walk: the mean of 12 scatters by 45 / 2 / sqrt 12 = 6.5.
    const mean = sizes.reduce((sum, size) => sum + size, 0) / sizes.length;
    assert.ok(mean < -25 && mean > -65, sizes.map((size) => size.toFixed(0)).join(' '));

    const spikes = { ...wander, kind: 'spike', count: 40 } as const;
    const {
      faults: [told],
    } = new SimulatedBuild({ ...scenario, faults: [spikes] });
    const { endS } = new SimulatedBuild({ ...scenario, faults: [] }).clock;
    assert.ok(told!.timesS.length === 40 && told!.timesS.every((t) => t >= told!.fromS && t < endS));
    assert.ok(told!.timesS.at(-1)! > endS - 0.2 * (endS - told!.fromS));
  });

  it('tells its truth in YAML that the score reads back', () => {
    for (const name of ['release', 'sick-sensor', 'strike', 'two-planes', 'good-build', 'foreign-table']) {
      const build = new SimulatedBuild(sampleScenario(name));
      const read = readTruth(truthText(build, `${name}.strain.csv`));
      assert.ok(read.ok, JSON.stringify(read));
      const events = trueEvents(build);
      assert.equal(read.events.length, events.length);
      read.events.forEach((event, i) => {
        const want = events[i]!;
        assert.equal(event.kind, want.kind);
        assert.equal(event.part, want.part);
        assert.equal(event.layer, want.layer);
        assert.deepEqual(event.channels, want.channels);
        assert.ok(Math.abs(event.timeS - want.timeS) < 1e-3);
        assert.equal(event.cells.length, want.cells.length);
        if (event.nature === 'mechanical') assert.ok(Math.abs(event.originM[0] - want.originM[0]) < 1e-4);
      });
    }
  });
});
