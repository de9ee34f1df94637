// The budget of false alarms, by simulation of our own detector: plates on which nothing happens, allowed one false alarm
// an hour so that there is something to count. Alarms are rare and independent, so their number is Poisson's: bounds are
// the 99.9 % point of the number allowed (Johnson, Kemp & Kotz, Univariate Discrete Distributions, from memory).
import assert from 'node:assert/strict';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { quietPlate, watch } from '../../support/quietPlate.ts';
import type { PlateSketch } from '../../support/quietPlate.ts';

const hours = 25;
/** Poisson with mean 25 passes 41 once in a thousand. */
const most = 41;

function alarms(sketch: PlateSketch): number {
  const detection = { falseAlarmHours: 1, smallestJump: 0, mute: [] };
  const seen = watch(quietPlate({ samples: hours * 3600, ...sketch, header: { detection } }));
  return seen.events.filter(({ kind }) => kind !== 'spike').length;
}

/** Noise that wanders: first order, 30 samples long, as strong as the white noise under it. */
function wandering(): NonNullable<PlateSketch['reading']> {
  const random = new RandomStream(6, 'wandering');
  const kept = Math.exp(-1 / 30);
  const now = new Map<number, number>();
  return (value, cell, fibre) => {
    const key = 10 * cell + fibre;
    const next = kept * (now.get(key) ?? 0) + Math.sqrt(1 - kept * kept) * random.normal();
    now.set(key, next);
    return value + next;
  };
}

describe('false alarm budget', () => {
  it('is kept in white noise, and used', () => {
    const told = alarms({ seed: 3 });
    assert.ok(told <= most && told >= 1, `${told} false alarms in ${hours} hours`);
  });

  it('is kept in noise that wanders', () => {
    const told = alarms({ seed: 4, reading: wandering() });
    assert.ok(told <= most, `${told} false alarms in ${hours} hours`);
  });

  it('is kept in noise with heavy tails, of Student with 3 degrees', () => {
    const random = new RandomStream(7, 'heavy tails');
    const told = alarms({ seed: 7, reading: () => random.student(3) });
    assert.ok(told <= most, `${told} false alarms in ${hours} hours`);
  });

  it('is kept where layers go by that do nothing', () => {
    const told = alarms({ seed: 5, layer: (row) => Math.floor(row / 40) });
    assert.ok(told <= most, `${told} false alarms in ${hours} hours`);
  });
});
