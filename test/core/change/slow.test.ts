// What comes slowly beside the rows: supports that give way over minutes, whatever the sampling rate, and noise that wanders
// as slowly, which is no break. That a lift lasts minutes and more is common practice, no published source.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { growthOf } from '../../../src/core/change/plate/growth.ts';
import { joined } from '../../../src/core/change/plate/incident.ts';
import type { Gathering } from '../../../src/core/change/plate/incident.ts';
import { newMember } from '../../../src/core/change/plate/member.ts';
import type { ChangeFinding } from '../../../src/core/change/findings.ts';
import { changeFinding } from '../../support/changeFinding.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';
import type { QuietPlate } from '../../support/quietPlate.ts';

/** Microstrain by which the first cells of six lift, each less than the one before. */
const lifts = [40, 25, 10];
const [fromS, lastsS] = [1500, 600];

function lifting(rateHz: number, lengthS = fromS + lastsS + 300): QuietPlate {
  return quietPlate({
    columns: 3,
    rows: 2,
    samples: rateHz * lengthS,
    noise: 1.5,
    timeS: (row) => row / rateHz,
    reading: (value, cell, fibre, row) => {
      const grown = Math.max(0, Math.min(1, (row / rateHz - fromS) / lastsS));
      const size = grown * (lifts[cell] ?? 0);
      return value + along([size, 0.4 * size, 0], [0, 60, 120][fibre]!);
    },
  });
}

describe('what comes slowly', () => {
  for (const rateHz of [5, 20]) {
    it(`is told at ${rateHz} Hz while it goes on, as growth and by its whole size, not part by part`, () => {
      const { events } = watch(lifting(rateHz));
      const first = events.find(({ kind }) => kind === 'creep-off');
      assert.ok(first, 'told as growth');
      assert.ok(
        events.every(({ timeS }) => timeS > fromS - 10),
        'nothing before it',
      );
      assert.ok(first.detectedTimeS < fromS + lastsS / 4, `known at ${first.detectedTimeS} s`);
      assert.ok(events.length <= lifts.length, `${events.length} events`);
      const size = first.cells.find(({ cell }) => cell === 0)!.change[0] * 1e6;
      assert.ok(Math.abs(size - lifts[0]!) < 2, `${size} um/m`);
    });
  }

  it('is heat and over where it goes back as slowly', () => {
    const rateHz = 20;
    const swell = (sinceS: number): number => Math.max(0, Math.min(1, sinceS / 25, (90 - sinceS) / 25));
    const plate = quietPlate({
      columns: 2,
      rows: 1,
      samples: rateHz * 2600,
      noise: 3,
      timeS: (row) => row / rateHz,
      reading: (value, cell, fibre, row) =>
        cell === 0
          ? value + along([6.4 * swell(row / rateHz - 2000), 2.5 * swell(row / rateHz - 2000), 0], [0, 60, 120][fibre]!)
          : value,
    });
    const told = watch(plate).events.map(({ kind, endTimeS }) => [kind, endTimeS > 2060 && endTimeS < 2200]);
    assert.deepEqual(told, [['heat', true]]);
  });

  it('is not made of noise that wanders as slowly', () => {
    const rateHz = 5;
    const wanderS = 60;
    const random = new RandomStream(3, 'slow noise');
    const state = new Float64Array(18);
    const kept = Math.exp(-1 / (rateHz * wanderS));
    const plate = quietPlate({
      columns: 3,
      rows: 2,
      samples: rateHz * 7200,
      timeS: (row) => row / rateHz,
      reading: (value, cell, fibre) => {
        const at = 3 * cell + fibre;
        state[at] = kept * state[at]! + Math.sqrt(1 - kept ** 2) * random.normal();
        return value + state[at];
      },
    });
    assert.deepEqual(
      watch(plate).events.map(({ message }) => message),
      [],
    );
  });

  it('is the same for any chunks, saved and restored anywhere', () => {
    const plate = lifting(4, 1800);
    const whole = watch(plate, [8000]);
    assert.ok(whole.findings.some((f) => f.what === 'change' && f.spacing > 1));
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 900 }), { minLength: 1, maxLength: 6 }),
        fc.array(fc.nat(6), { maxLength: 3 }),
        (sizes, saveAt) => {
          const { events, findings } = watch(plate, sizes, saveAt);
          assert.deepEqual(events, whole.events);
          assert.deepEqual(findings.length, whole.findings.length);
          for (const cell of [0, 1, 2]) {
            assert.deepEqual(
              findings.filter((f) => f.cell === cell),
              whole.findings.filter((f) => f.cell === cell),
            );
          }
        },
      ),
      { numRuns: 5, seed: 7 },
    );
  });
});

describe('growth', () => {
  const frame = { cells: [0, 1, 2], xM: [0, 0.02, 0.2], yM: [0, 0, 0], pitchM: 0.02, channels: [] };
  const gathered = (finding: ChangeFinding): Gathering => ({
    members: [newMember(finding)],
    told: [],
    astray: false,
    pooled: 0,
    lastRow: 0,
  });
  const up = [10e-6, 4e-6, 0];
  const first = gathered(changeFinding(100, { delta: up }));
  const second = gathered(changeFinding(140, { delta: up }));

  it('is the third change of a cell in one direction, not the second, nor one back, across or late', () => {
    assert.equal(growthOf(frame, [first], changeFinding(140, { delta: up })), undefined);
    const both = [first, second];
    assert.equal(growthOf(frame, both, changeFinding(180, { delta: up }))?.member, second.members[0]);
    for (const delta of [up.map((d) => -d), [-4e-6, 10e-6, 0]]) {
      assert.equal(growthOf(frame, both, changeFinding(180, { delta })), undefined);
    }
    assert.equal(growthOf(frame, both, changeFinding(400, { delta: up })), undefined);
  });

  it('takes in what comes slowly beside it, but no jump there, and nothing far away', () => {
    const growing: Gathering = { ...second, members: [{ ...second.members[0]!, grows: true }] };
    const beside = changeFinding(180, { cell: 1, ramp: true });
    assert.equal(growthOf(frame, [growing], beside)?.gathering, growing);
    assert.equal(growthOf(frame, [growing], { ...beside, ramp: false }), undefined);
    assert.equal(growthOf(frame, [growing], { ...beside, cell: 2 }), undefined);
  });

  it('is as large as the levels before and after say, since its parts overlap', () => {
    const before = changeFinding(100, { delta: [10e-6, 5e-6, 0], levelBefore: [1e-6, 1e-6, 0], ramp: true });
    // Measured from within the part before it: 4 of its 10 microstrain are counted there already.
    const next = changeFinding(130, { delta: [10e-6, 5e-6, 0], levelBefore: [7e-6, 4e-6, 0], ramp: true });
    const whole = joined(before, next).delta.map((d) => d * 1e6);
    assert.deepEqual(
      whole.map((d) => Number(d.toFixed(9))),
      [16, 8, 0],
    );
    assert.deepEqual(joined({ ...before, ramp: false }, next).delta, [20e-6, 10e-6, 0]);
  });
});
