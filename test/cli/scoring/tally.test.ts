// Which report answers which true event, and what the counts then are.
import assert from 'node:assert/strict';
import type { Detection } from '../../../src/cli/scoring/detection.ts';
import { matchEvents, matchWindow } from '../../../src/cli/scoring/match.ts';
import {
  confusion,
  falseMechanicalPerHour,
  faultsNamed,
  kindsRight,
  medianOf,
  recall,
  tally,
} from '../../../src/cli/scoring/tally.ts';
import type { TrueEvent } from '../../../src/cli/simulation/truth.ts';

const release: TrueEvent = {
  nature: 'mechanical',
  kind: 'release',
  label: '',
  timeS: 1000,
  endTimeS: NaN,
  fullTimeS: 1001,
  layer: 20,
  part: 'block',
  originM: [0.05, 0.05],
  size: 40e-6,
  sigmas: 40,
  cells: [
    { cell: 'A1', plane: 'up', change: [40e-6, 0, 0] },
    { cell: 'B1', plane: 'up', change: [-10e-6, 5e-6, 0] },
    { cell: 'C3', plane: 'up', change: [1e-6, 0, 0] },
  ],
  channels: [],
};
const jump: TrueEvent = {
  ...release,
  nature: 'sensor',
  kind: 'jump',
  timeS: 2000,
  fullTimeS: 2000,
  originM: [NaN, NaN],
  cells: [],
  channels: ['B2_up_0'],
};
const pause: TrueEvent = {
  ...jump,
  nature: 'thermal',
  kind: 'heat',
  timeS: 3000,
  endTimeS: 3200,
  fullTimeS: 3200,
  channels: [],
};

const report: Detection = {
  nature: 'mechanical',
  kind: 'release',
  timeS: 1000,
  detectedTimeS: 1002,
  cells: ['A1'],
  channels: [],
  originM: [0.053, 0.054],
  part: 'block',
};
const sensorReport: Detection = {
  ...report,
  nature: 'sensor',
  kind: 'jump',
  timeS: 2000,
  detectedTimeS: 2004,
  cells: [],
  channels: ['B2_up_0'],
  originM: [NaN, NaN],
};

const score = (truth: readonly TrueEvent[], reports: readonly Detection[]) =>
  tally([{ truth, reports, durationS: 7200, rateHz: 1, pitchM: 0.02 }]);

describe('matching reports with truth', () => {
  const window = matchWindow(1);
  const answers = (truth: TrueEvent, one: Detection): boolean => matchEvents([truth], [one], window).answers[0] === 0;

  it('takes a report at the right time and cell', () => {
    assert.equal(answers(release, report), true);
    assert.equal(answers(release, { ...report, cells: ['B1'] }), true);
  });

  it('refuses one before it, long after it, or at a cell that hardly feels it', () => {
    assert.equal(answers(release, { ...report, timeS: 990 }), false);
    assert.equal(answers(release, { ...report, timeS: 1000, detectedTimeS: 980 }), false);
    assert.equal(answers(release, { ...report, timeS: 1062, detectedTimeS: 1063 }), false);
    assert.equal(answers(release, { ...report, cells: ['C3'] }), false);
    assert.equal(answers(release, { ...report, cells: ['D4'] }), false);
  });

  it('gives one report to one event only', () => {
    const { answers: given } = matchEvents([release, { ...release, timeS: 1003, fullTimeS: 1003 }], [report], window);
    assert.deepEqual(given, [0, -1]);
  });

  it('takes the earliest report, whatever kind the truth has', () => {
    const cracked: Detection = { ...report, kind: 'crack', detectedTimeS: 1001 };
    for (const kind of ['release', 'crack', 'creep-off']) {
      const matching = matchEvents([{ ...release, kind }], [report, cracked], window);
      assert.deepEqual([matching.answers, matching.repeats], [[1], [0]], kind);
    }
  });

  it('gives two events that become known together each the report that began with it', () => {
    const strike: TrueEvent = { ...release, kind: 'strike', timeS: 1020, fullTimeS: 1022 };
    const [late, soon] = [1021, 1001].map((timeS): Detection => ({ ...report, timeS, detectedTimeS: 1030 }));
    assert.deepEqual(matchEvents([release, strike], [late!, soon!], window).answers, [1, 0]);
  });

  it('waits longer where rows are far apart', () => {
    assert.ok(matchWindow(0.1).afterS > matchWindow(1).afterS);
  });
});

describe('the tally', () => {
  it('of a perfect watch', () => {
    const all = score([release, jump], [report, sensorReport]);
    assert.equal(recall(all.answers).value, 1);
    assert.equal(kindsRight(all).value, 1);
    assert.equal(faultsNamed(all).value, 1);
    assert.equal(all.falseMechanical + all.falseOther + all.repeats, 0);
    assert.equal(all.hours, 2);
    // 3 and 4 mm off: 5 mm, a quarter of a pitch of 20 mm.
    assert.ok(Math.abs(medianOf(all.answers, (answer) => answer.placeErrorPitches).value - 0.25) < 1e-9);
  });

  it('counts the delay in rows: the row that first holds the change is the first', () => {
    const [at, later] = [0, 2].map((wait) => score([release], [{ ...report, detectedTimeS: 1000 + wait }]).answers[0]!);
    assert.equal(at!.delaySamples, 1);
    assert.equal(later!.delaySamples, 3);
    assert.equal(later!.delayS, 2);
  });

  it('of a blind one: nothing found, nothing false', () => {
    const all = score([release, jump, pause], []);
    assert.equal(recall(all.answers).hits, 0);
    assert.equal(falseMechanicalPerHour(all).value, 0);
    assert.deepEqual([...confusion(all).get('release')!], [['missed', 1]]);
  });

  it('a sick sensor called a break is a false mechanical alarm, and the fault is not named', () => {
    const all = score([jump], [{ ...report, timeS: 2000, detectedTimeS: 2002, cells: ['B2'] }]);
    assert.equal(all.falseMechanical, 1);
    assert.equal(faultsNamed(all).hits, 0);
    assert.deepEqual([...confusion(all).get('jump')!], [['release', 1]]);
    assert.equal(falseMechanicalPerHour(all).value, 0.5);
  });

  it('a break called a sick sensor is missed', () => {
    const all = score([release], [{ ...sensorReport, timeS: 1000, detectedTimeS: 1003, channels: ['A1_up_0'] }]);
    assert.equal(recall(all.answers).hits, 0);
    assert.deepEqual([...confusion(all).get('release')!], [['jump', 1]]);
  });

  it('a second report of the same break is a repeat; one elsewhere is from nothing', () => {
    const again: Detection = { ...report, timeS: 1020, detectedTimeS: 1022 };
    const elsewhere: Detection = { ...report, timeS: 5000, detectedTimeS: 5002 };
    const all = score([release], [report, again, elsewhere]);
    assert.deepEqual([all.repeats, all.falseMechanical, all.fromNothing], [1, 1, 1]);
  });

  it('a mechanical report in a laser stop is false, though something did happen', () => {
    const all = score([pause], [{ ...report, timeS: 3100, detectedTimeS: 3102 }]);
    assert.deepEqual([all.falseMechanical, all.fromNothing], [1, 0]);
  });
});
