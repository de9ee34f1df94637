// A plate whose temperature does change, with gratings that obey the equations of the trade exactly, so that taking it out
// leaves only what the metal did and the noise of the thermometer. The truth is in the log as written here.
import assert from 'node:assert/strict';
import { leastSquare } from '../../../src/core/change/noise/blockDistance.ts';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import { Session } from '../../../src/core/session.ts';
import { normal } from '../../support/normalNoise.ts';

const rows = 1400;
const changeRow = 1000;
const expansion = 23.6e-6;

interface Build {
  readonly seed?: number;
  /** Plate strain (ex, ey, gxy) and temperature above the start, by row. */
  strain(row: number): readonly [number, number, number];
  kelvin(row: number): number;
}

/** dL/L = 0.78 e + 6.5e-6 dT (Kersey et al. 1997), free expansion in e; thermometer noise 0.03 K, gratings 0.6 pm. */
function eventsOf({ seed = 1, strain, kelvin }: Build): readonly StrainEvent[] {
  const noise = normal(seed);
  const directions = [0, 45, 90, 135];
  const names = ['time', 'T', ...directions.map((d) => `c${d}`)];
  const units = ['s', 'deg_C', ...directions.map(() => 'nm')];
  const head = [
    '%ECSV 1.0',
    '---',
    "delimiter: ','",
    'datatype:',
    ...names.map((name, i) => `- {name: ${name}, unit: ${units[i]}, datatype: float64}`),
    'meta:',
    '  strain_log: 1',
    '  plate: {size: [250 mm, 250 mm], thickness: 25 mm, material: Al 6061-T6}',
    '  cells: {A: {at: [75 mm, 75 mm]}}',
    '  channels:',
    '    T: {cell: A, kind: temperature}',
    ...directions.map(
      (d) =>
        `    c${d}: {cell: A, kind: bragg, direction: ${d} deg, rest: 1550 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}`,
    ),
    '  datum: {from: 0 s, to: 59 s}',
    'schema: astropy-2.0',
  ].map((line) => `# ${line}`);
  const table = Array.from({ length: rows }, (_, row) => {
    const [ex, ey, gxy] = strain(row);
    const dT = kelvin(row);
    const readings = directions.map((d) => {
      const [c, s] = [Math.cos((d * Math.PI) / 180), Math.sin((d * Math.PI) / 180)];
      const along = ex * c * c + ey * s * s + gxy * s * c + expansion * dT;
      return (1550 * (1 + 0.78 * along + 6.5e-6 * dT) + 6e-4 * noise()).toFixed(6);
    });
    return [row, (30 + dT + 0.03 * noise()).toFixed(4), ...readings].join(',');
  });
  const session = new Session({ settings: {}, pyramid: false });
  session.push(new TextEncoder().encode(`${[...head, names.join(','), ...table].join('\n')}\n`));
  session.finish();
  return session.events;
}

const still = [0, 0, 0] as const;
const broken = [60e-6, -20e-6, 30e-6] as const;
/** Mohr's circle: the largest principal change of `broken`, 62.7 um/m. */
const largest = 20e-6 + Math.hypot(40e-6, 15e-6);

describe('a plate that warms', () => {
  for (const warmth of [0, 0.5, 2, 5]) {
    it(`measures a break while it warms by ${warmth} K as it measures one at rest`, () => {
      const events = eventsOf({
        strain: (row) => (row < changeRow ? still : broken),
        kelvin: (row) => (row < changeRow ? 0 : warmth),
      });
      const [event, ...others] = events.filter(({ nature }) => nature === 'mechanical');
      assert.equal(others.length, 0);
      const [ex, ey, gxy] = event!.cells[0]!.change;
      assert.ok(Math.abs((ex + ey) / 2 + Math.hypot((ex - ey) / 2, gxy / 2) - largest) < 2e-6, `${[ex, ey, gxy]}`);
      // There was no strain before, so no direction that could have turned.
      assert.ok(Number.isNaN(event!.cells[0]!.turnDeg), `turned ${event!.cells[0]!.turnDeg}`);
    });
  }

  it('takes a break for one while the plate warms up as it has for long', () => {
    // Some 0.02 K a row: a third of a kelvin goes by between the levels before and after, here as anywhere.
    const events = eventsOf({
      strain: (row) => (row < changeRow ? still : [8e-6, 6e-6, 0]),
      kelvin: (row) => 60 * (1 - Math.exp(-row / 1500)),
    });
    assert.deepEqual(
      events.map(({ nature, row }) => [nature, Math.abs(row - changeRow) <= 2]),
      [['mechanical', true]],
    );
  });

  for (const [warmth, over] of [
    [0.5, 60],
    [1, 60],
    [2, 60],
    [5, 60],
    [2, 1],
  ] as const) {
    it(`tells of nothing but heat while it warms by ${warmth} K in ${over} s`, () => {
      const events = eventsOf({
        strain: () => still,
        kelvin: (row) => warmth * Math.min(1, Math.max(0, (row - changeRow) / over)),
      });
      assert.deepEqual(
        events.map(({ kind }) => kind),
        ['heat'],
      );
      const told = events[0]!.evidence.find(({ name }) => name === 'temperature')!.value;
      // Smoothed, and against a level that follows slowly.
      assert.ok(told > 0.7 * warmth && told < 1.1 * warmth, `${told} K`);
    });
  }

  it('states the error of a turn as large as the turn scatters', () => {
    // From 30 to 30 + atan(40/60)/2 degrees: exx - eyy = 60 um/m, gxy 0, then 40 um/m.
    const truth = ((Math.atan2(40, 60) / 2) * 180) / Math.PI;
    const turns = Array.from({ length: 60 }, (_, i) => {
      const events = eventsOf({
        seed: 100 + i,
        strain: (row) => {
          const grown = Math.min(1, Math.max(0, (row - 60) / 1140));
          return [30e-6 * grown, -30e-6 * grown, row < 1300 ? 0 : 40e-6];
        },
        kelvin: () => 0,
      });
      const [event] = events.filter(({ row, nature }) => nature === 'mechanical' && Math.abs(row - 1300) < 5);
      const { turnDeg, turnErrorDeg } = event!.cells[0]!;
      return { off: turnDeg - truth, error: turnErrorDeg };
    });
    const scatter = Math.sqrt(turns.reduce((sum, { off }) => sum + off ** 2, 0) / turns.length);
    const stated = turns.reduce((sum, { error }) => sum + error, 0) / turns.length;
    // The scatter of 60 is known to a tenth (standard error 1 / sqrt(2 n)); its double is the least that must not pass.
    assert.ok(stated > 0.75 * scatter && stated < 1.3 * scatter, `stated ${stated}, scatter ${scatter}`);
  });
});

describe('the distance of a change beside a change of temperature', () => {
  /** Whitener of covariance [[t, b t], [b t, b b t + s]]: a strain that owes b to the thermometer's noise. */
  const [t, b, s] = [4, -3, 2];
  const whitener = Float64Array.of(1 / Math.sqrt(t), 0, -b / Math.sqrt(s), 1 / Math.sqrt(s));
  const squareOf = (kelvin: number, strain: number): number => {
    const given = (strain - b * kelvin) ** 2 / s;
    return leastSquare(whitener, Float64Array.of(kelvin, strain), 2, given);
  };

  it('is that given the temperature where that is usual', () => {
    assert.equal(squareOf(1, 2), 12.5);
    assert.equal(squareOf(2, -6), 0);
    assert.equal(squareOf(2, -8), 2);
  });

  it('is that by all of its own noise where the temperature did change', () => {
    assert.ok(Math.abs(squareOf(20, 5) - 25 / (b * b * t + s)) < 1e-9);
    assert.ok(Math.abs(squareOf(-20, 5) - 25 / (b * b * t + s)) < 1e-9);
  });

  it('never grows by the second explanation', () => {
    for (let kelvin = -12; kelvin <= 12; kelvin += 0.5) {
      for (let strain = -40; strain <= 40; strain += 2) {
        assert.ok(squareOf(kelvin, strain) <= (strain - b * kelvin) ** 2 / s + 1e-9);
      }
    }
  });
});
