// Runs of quiet readings taken at once against the same readings taken one by one.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { newHealth, nextReading, turns } from '../../../../src/core/change/readings/health.ts';
import type { HealthState } from '../../../../src/core/change/readings/health.ts';
import { newQuietRun, quietRows, takeQuiet } from '../../../../src/core/change/readings/quietReadings.ts';

/** Readings of a coarse channel: long runs of equal ones, now and then a gap or a finer step. */
const readings = fc
  .array(
    fc.record({
      value: fc.oneof(
        { weight: 12, arbitrary: fc.integer({ min: 0, max: 3 }) },
        { weight: 1, arbitrary: fc.constantFrom(0.5, 0.25, NaN) },
      ),
      times: fc.integer({ min: 1, max: 14 }),
    }),
    { minLength: 1, maxLength: 60 },
  )
  .map((runs) => Float64Array.from(runs.flatMap(({ value, times }) => new Array<number>(times).fill(value))));

describe('quiet readings', () => {
  it('leave the same health as one by one, and nothing turns in them', () => {
    let quiet = 0;
    fc.assert(
      fc.property(readings, fc.integer({ min: 1, max: 40 }), fc.constantFrom(1, 1.5, 4), (column, most, usualRun) => {
        // As many runs have ended as are remembered: before that nothing is taken for quiet.
        const single = { ...newHealth(), runs: 64, usualRun };
        const spans: HealthState = { ...newHealth(), runs: 64, usualRun };
        const run = newQuietRun();
        for (let i = 0; i < column.length;) {
          const found = quietRows(spans, column, column, i, Math.min(column.length, i + most), run);
          // Sometimes fewer are taken than were found.
          const count = i % 3 === 0 ? Math.ceil(found / 2) : found;
          if (count > 0) takeQuiet(spans, column, column, i, count, run);
          else nextReading(spans, column[i]!);
          for (let k = i; k < i + Math.max(1, count); k++) {
            const before = { ...single };
            const turn = nextReading(single, column[k]!);
            if (count === 0) continue;
            assert.equal(turn, turns.none);
            assert.equal(single.quantum, before.quantum);
          }
          assert.deepEqual(spans, single);
          quiet += count;
          i += Math.max(1, count);
        }
      }),
      { seed: 11 },
    );
    assert.ok(quiet > 1000);
  });
});
