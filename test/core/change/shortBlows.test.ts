// A blow that is over within a sample or two. Truth is what the test put in.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import type { SensorFinding } from '../../../src/core/change/findings.ts';
import { PlateStage } from '../../../src/core/change/plate/plateStage.ts';
import type { CellFinding } from '../../../src/core/change/findings.ts';
import { phases } from '../../../src/core/header/logHeader.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { changeFinding, rosetteChange } from '../../support/changeFinding.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';

const recoat = phases.indexOf('recoat');
/** Far into the log, in which hardly anything spiked before. */
const at = 20000;

function spike(cell: number, row = at, more: Partial<SensorFinding> = {}): SensorFinding {
  return {
    what: 'spike',
    cell,
    knownRow: row + 1,
    knownTimeS: row + 1,
    row,
    line: row + 9,
    timeS: row,
    layer: 1,
    channels: [3 * cell],
    endRow: row + 1,
    endTimeS: row + 1,
    samples: 1,
    size: (20 + cell) * 1e-6,
    sigmas: 20 + cell,
    phase: recoat,
    ...more,
  };
}

/** Nine cells in a grid: 0, 1, 2 are a row of it, 0 and 8 opposite corners. */
function told(findings: readonly CellFinding[]): readonly StrainEvent[] {
  const { header } = quietPlate({ samples: 1 });
  const stage = new PlateStage(header, cellLayouts(header));
  stage.push(findings);
  stage.finish();
  return stage.events();
}

const kinds = (findings: readonly CellFinding[]): string[] =>
  told(findings).map(({ kind, sure }) => `${kind}${sure ? '' : '?'}`);

describe('spikes of several cells at once', () => {
  it('are one strike where it is the blade that moves, and may be one where not', () => {
    assert.deepEqual(kinds([spike(0), spike(1, at + 1), spike(2)]), ['strike']);
    assert.deepEqual(kinds([spike(0), spike(0)]), ['spike', 'spike']);
    assert.deepEqual(kinds([spike(0), spike(1, at + 3)]), ['spike', 'spike']);
    for (const phase of [phases.indexOf('expose'), -1]) {
      assert.deepEqual(kinds([0, 1, 2].map((cell) => spike(cell, at, { phase }))), ['strike?']);
    }
  });

  it('are no strike where they are what chance brings about in a log of many spikes', () => {
    const one = (row: number): SensorFinding => spike((row / 50) % 9, row);
    const many = Array.from({ length: 200 }, (_, k) => one(50 * k));
    assert.equal(kinds([...many, spike(0), spike(1)]).filter((kind) => kind !== 'spike').length, 0);
    const few = kinds([...many.slice(0, 10), ...[0, 1, 2, 3].map((cell) => spike(cell))]);
    assert.deepEqual(
      few.filter((kind) => kind !== 'spike'),
      ['strike'],
    );
  });

  it('are no sure strike over most of the plate, and say why', () => {
    const [event, ...others] = told([0, 1, 2, 3, 4, 5].map((cell) => spike(cell)));
    assert.deepEqual([event!.kind, event!.sure, event!.cells.length, others.length], ['strike', false, 6, 0]);
    assert.match(event!.message, /25 µm\/m at C2 and 5 more cells.*6 of 9 cells changed at once/);
  });

  it('are told once where a cell saw the blow as a change of its metal', () => {
    const rosettes = [rosetteChange(40e-6, 30e-6, 0)];
    const change = changeFinding(at, { cell: 4, serial: 1, soloEvidence: -40, rosettes });
    const back = changeFinding(at, {
      ...change,
      stage: 'returned',
      knownRow: at + 9,
      endRow: at + 2,
      endTimeS: at + 2,
    });
    for (const first of [at + 3, at]) {
      const changed = { ...change, knownRow: first };
      const [event, ...others] = told([changed, spike(0), spike(1), spike(2), back]);
      assert.deepEqual([event?.kind, event?.cells[0]?.cell, others], ['strike', 4, []]);
      assert.deepEqual(kinds([changed, spike(1), back]), ['strike?']);
    }
  });
});

describe('a blow of one or two samples', () => {
  for (const samples of [1, 2]) {
    it(`of ${samples} is told as one strike of its size by a row of cells`, () => {
      for (let seed = 1; seed <= 6; seed++) {
        const reading = (value: number, cell: number, fibre: number, row: number): number =>
          cell >= 3 && cell <= 5 && row >= 700 && row < 700 + samples
            ? value + along([30, 12, -9], 60 * fibre) * (row === 700 ? 1 : 0.4)
            : value;
        const { events } = watch(quietPlate({ seed, reading, samples: 900 }));
        assert.deepEqual([...new Set(events.map(({ kind }) => kind))], ['strike'], `seed ${seed}`);
        const sizes = events.map(({ evidence }) => evidence.find(({ name }) => name === 'size')!.value);
        assert.ok(Math.max(...sizes) > 18 && Math.max(...sizes) < 40, `${sizes.join()} of 32`);
      }
    });
  }
});

describe('a spike that turned out to be the beginning of something else', () => {
  it('does not come back because something breaks elsewhere', () => {
    const eventsWith = (broken: boolean): string[] => {
      const plate = quietPlate({
        columns: 4,
        rows: 3,
        samples: 1500,
        reading: (value, cell, fibre, row) => {
          // One fibre jumps, and freezes.
          if (cell === 0 && fibre === 0 && row === 1000) return 60;
          if (cell === 0 && fibre === 0 && row >= 1002) return 3;
          return broken && row >= 1150 && cell === 11 ? value + along([25, 5, -8], [0, 60, 120][fibre]!) : value;
        },
      });
      return watch(plate).events.map(({ kind }) => kind);
    };
    assert.deepEqual(eventsWith(false), ['stuck']);
    const both = eventsWith(true);
    assert.ok(both.length === 2 && both.includes('stuck') && !both.includes('spike'), both.join());
  });
});
