// What comes again and again in a log without layers is told once and counted, so that a break can be seen among it. Common
// practice, no published source.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../../src/core/change/events.ts';
import type { ChangeFinding } from '../../../../src/core/change/findings.ts';
import { PlateStage } from '../../../../src/core/change/plate/plateStage.ts';
import { cellLayouts } from '../../../../src/core/strain/layout.ts';
import { changeFinding, rosetteChange } from '../../../support/changeFinding.ts';
import { quietPlate } from '../../../support/quietPlate.ts';

const { header } = quietPlate({ samples: 1 });

function eventsOf(findings: readonly ChangeFinding[]): readonly StrainEvent[] {
  const stage = new PlateStage(header, cellLayouts(header));
  stage.push(findings);
  stage.finish();
  return stage.events();
}

/** A sure change of a cell, um/m along and across its first fibre, in a log without layers. */
function change(row: number, along: number, across: number, more: Partial<ChangeFinding> = {}): ChangeFinding {
  const [ex, ey] = [along * 1e-6, across * 1e-6];
  const delta = [ex, 0.25 * ex + 0.75 * ey, 0.25 * ex + 0.75 * ey];
  const rosettes = [rosetteChange(ex, ey, 0)];
  return changeFinding(row, { layer: NaN, cell: 4, soloEvidence: -40, delta, rosettes, ...more });
}

/** There and back, at rows 300 to 300 + 250 n: the steps of a cycle. */
const cycle = (n: number, more?: Partial<ChangeFinding>): ChangeFinding[] =>
  Array.from({ length: n + 1 }, (_, i) => change(300 + 250 * i, i % 2 ? -11 : 10, i % 2 ? -5 : 6, more));

describe('what comes again where no layers are told', () => {
  it('is told once, with how often it came and its last line, and what to do', () => {
    const [event, ...rest] = eventsOf(cycle(12));
    assert.deepEqual([event?.row, event?.folded, event?.severity, rest.length], [300, 12, 'warning', 0]);
    assert.match(event!.message, /again up to line 3309: a column `layer`/);
    assert.equal(event!.evidence.find(({ name }) => name === 'again')?.value, 12);
  });

  it('does not hide a change of another direction, a far larger one, or one of another cell', () => {
    const others = [change(1650, -6, 12), change(1650, 60, 30), change(1650, 10, 6, { cell: 0 })];
    for (const other of others) {
      const [first, second, ...rest] = eventsOf([...cycle(12), other]);
      assert.deepEqual([first?.folded, second?.row, rest.length], [12, 1650, 0]);
    }
  });

  it('does not hide what another cell does when it comes, even if that is known only later', () => {
    const late = change(1551, 9, 5, { cell: 5, knownRow: 1562, knownTimeS: 1562 });
    const [first, second, ...rest] = eventsOf([...cycle(12), late]);
    assert.deepEqual([first?.folded, rest.length], [11, 0]);
    assert.deepEqual(second?.cells.map(({ cell }) => cell).sort(), [4, 5]);
  });

  it('is not counted in a break that is sure, of which more may come', () => {
    const parts = [0, 1, 2, 3].map((i) => change(9000 + 300 * i, 10 + i, 6));
    const [first, ...rest] = eventsOf(parts);
    assert.deepEqual([first?.severity, first?.folded, first?.message.includes('again')], ['error', 0, false]);
    assert.ok(rest.length > 0);
  });

  it('is told every time where layers are told: the cycle is taken off there', () => {
    assert.equal(eventsOf(cycle(4, { layer: 30 })).length, 5);
  });
});
