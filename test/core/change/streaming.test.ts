// Whatever the chunks, and wherever the state was saved and taken up again: the same events to the last bit.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import type { CellFinding } from '../../../src/core/change/findings.ts';
import { ringSize } from '../../../src/core/change/history.ts';
import { onsetReach } from '../../../src/core/change/confirm/measure.ts';
import { longestSpan } from '../../../src/core/change/cell/span.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';

const plate = quietPlate({
  columns: 3,
  rows: 2,
  samples: 900,
  layer: (row) => Math.floor(row / 40),
  reading: (value, cell, fibre, row) => {
    if (cell === 5 && fibre === 0 && row > 300 && row < 330) return NaN;
    if (cell === 2 && fibre === 2 && row === 500) return value + 60;
    const broken = row >= 600 && cell < 3 ? along([9 - 2 * cell, 4, 1], [0, 60, 120][fibre]!) : 0;
    const struck = row >= 760 && row < 764 && cell > 2 ? 15 : 0;
    return value + broken + struck + 3 * Math.sin((2 * Math.PI * (row % 40)) / 40);
  },
});
const whole = watch(plate, [900]);

/** Findings in an order of their own: cells are asked one after the other, chunk by chunk. */
function told(findings: readonly CellFinding[]): CellFinding[] {
  return [...findings].sort((a, b) => a.cell - b.cell || a.knownRow - b.knownRow);
}

describe('streaming', () => {
  it('has events and findings to compare', () => {
    assert.ok(whole.events.length >= 3);
    assert.ok(whole.findings.length >= 6);
  });

  it('equals one pass, row by row', () => {
    const single = watch(plate, [1]);
    assert.deepEqual(single.events, whole.events);
    assert.deepEqual(told(single.findings), told(whole.findings));
  });

  it('keeps what an onset looks back on while the rows of a span are written ahead', () => {
    assert.ok(onsetReach + longestSpan < ringSize, `${onsetReach} + ${longestSpan}`);
  });

  it('equals one pass for any chunks, saved and restored anywhere', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 300 }), { minLength: 1, maxLength: 12 }),
        fc.array(fc.nat(12), { maxLength: 3 }),
        (sizes, saveAt) => {
          const { events, findings } = watch(plate, sizes, saveAt);
          assert.deepEqual(events, whole.events);
          assert.deepEqual(told(findings), told(whole.findings));
        },
      ),
      { numRuns: 12, seed: 7 },
    );
  });
});
