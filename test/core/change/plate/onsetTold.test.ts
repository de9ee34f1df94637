// What is told has begun by then, whatever is made of it later: a line after that of the alarm cannot be its onset.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import type { StrainEvent } from '../../../../src/core/change/events.ts';
import type { ChangeFinding, ChangeStage } from '../../../../src/core/change/findings.ts';
import { PlateStage } from '../../../../src/core/change/plate/plateStage.ts';
import { cellLayouts } from '../../../../src/core/strain/layout.ts';
import { changeFinding, rosetteChange } from '../../../support/changeFinding.ts';
import { quietPlate } from '../../../support/quietPlate.ts';

const { header } = quietPlate({ samples: 1 });

/** Takes the findings row by row, as they become known, and hands over all that is told after each. */
function follow(findings: readonly ChangeFinding[], seen: (event: StrainEvent, row: number) => void): void {
  const stage = new PlateStage(header, cellLayouts(header));
  for (const finding of [...findings].sort((a, b) => a.knownRow - b.knownRow)) {
    stage.push([finding]);
    stage.advance(finding.knownRow);
    for (const event of stage.events()) seen(event, finding.knownRow);
  }
}

const change = fc.record({
  cell: fc.nat(8),
  row: fc.nat(120),
  wait: fc.nat(40),
  serial: fc.nat(3),
  stage: fc.constantFrom<ChangeStage>('suspected', 'confirmed', 'settled'),
  surprise: fc.integer({ min: 9, max: 60 }),
  sigmas: fc.integer({ min: 4, max: 60 }),
  size: fc.integer({ min: -40, max: 40 }),
  length: fc.constantFrom(2, 5, 16, 64),
});

describe('the onset of what is told', () => {
  it('is never later than the row it was told at, at any row of the log', () => {
    fc.assert(
      fc.property(fc.array(change, { minLength: 2, maxLength: 24 }), (drawn) => {
        const findings = drawn.map(({ row, wait, size, ...rest }) => {
          const um = size * 1e-6;
          const told = { knownRow: row + wait, knownTimeS: row + wait, lasting: true };
          return changeFinding(row, {
            ...rest,
            ...told,
            delta: [um, um / 2, 0],
            rosettes: [rosetteChange(um, um / 2, 0)],
          });
        });
        follow(findings, ({ id, row, timeS, line, detectedRow, detectedTimeS }, now) => {
          assert.ok(row <= detectedRow && timeS <= detectedTimeS && line <= detectedRow + 9, `${id}: ${row}`);
          assert.ok(detectedRow <= now, id);
        });
      }),
      { numRuns: 300, seed: 3 },
    );
  });

  it('stays that of the cell that told it, though a clearer change of another cell joins it', () => {
    const first = changeFinding(100, { cell: 4, length: 32, surprise: 22, rosettes: [rosetteChange(9e-6, 3e-6, 0)] });
    const later = changeFinding(110, { cell: 5, surprise: 90, sigmas: 30, rosettes: [rosetteChange(20e-6, 9e-6, 0)] });
    let last: StrainEvent | undefined;
    follow([first, later], (event) => (last = event));
    assert.deepEqual([last?.row, last?.detectedRow, last?.cells.length], [100, 103, 2]);
  });
});
