// Which channels are left out of their rosette's tensor, and what the tensor is then: that of plain least squares.
import assert from 'node:assert/strict';
import { Matrix, solve } from 'ml-matrix';
import type { EventKind, StrainEvent } from '../../../src/core/change/events.ts';
import { sickSpells } from '../../../src/core/pipeline/sickSpells.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { spellsAt } from '../../../src/core/strain/sickSpell.ts';
import type { SickSpell } from '../../../src/core/strain/sickSpell.ts';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { plainContext } from '../../support/oneRow.ts';
import { header, rowBlock } from '../../support/strainLog.ts';

const directionsDeg = [0, 45, 90, 135] as const;

function plate(directions: readonly number[] = directionsDeg) {
  const log = header({
    channels: [
      { name: 'T', kind: 'temperature' },
      ...directions.map((directionDeg) => ({ name: `c${directionDeg}`, kind: 'strain' as const, directionDeg })),
    ],
  });
  return { header: log, layouts: cellLayouts(log), context: plainContext(log) };
}

/** `channels` by their place in the header: 0 is the thermometer. */
function told(kind: EventKind, channels: readonly number[], timeS: number, endTimeS = NaN): StrainEvent {
  return {
    ...{ id: '', nature: 'sensor', kind, severity: 'information', sure: true, row: timeS, line: timeS + 9 },
    ...{ timeS, endTimeS, detectedRow: timeS, detectedTimeS: timeS, layer: 3, cells: [], channels, loneChannel: -1 },
    ...{ originM: [NaN, NaN], originSpreadM: NaN, part: '', evidence: [], message: '', folded: 0 },
  };
}

const brief = (spells: readonly SickSpell[]): unknown[] =>
  spells.map(({ name, kind, effect, fromS, toS }) => [name, kind, effect, fromS, toS]);

describe('spells of sick channels', () => {
  it('are as long as the fault: to its end for what is missing or stuck, for good for what jumped or wandered', () => {
    const events = [
      told('stuck', [1], 10, 20),
      told('dropout', [2], 30, 40),
      told('jump', [3], 50),
      told('stuck', [1], 60, 70),
    ];
    assert.deepEqual(brief(sickSpells(plate(), events)), [
      ['c0', 'stuck', 'without', 10, 20],
      ['c45', 'dropout', 'without', 30, 40],
      ['c90', 'jump', 'without', 50, 60],
      ['c0', 'stuck', 'without', 60, 70],
      ['c90', 'jump', 'doubtful', 60, 70],
      ['c90', 'jump', 'without', 70, Infinity],
    ]);
    assert.deepEqual(brief(sickSpells(plate(), [told('wander', [4], 5, 9)])), [
      ['c135', 'wander', 'without', 5, Infinity],
    ]);
  });

  it('leave a tensor doubtful, or none where readings are missing, if three directions would not remain', () => {
    const three = plate([0, 60, 120]);
    assert.deepEqual(brief(sickSpells(three, [told('wander', [2], 10), told('dropout', [1, 2, 3], 20, 30)])), [
      ['c60', 'wander', 'doubtful', 10, 20],
      ['c0', 'dropout', 'none', 20, 30],
      ['c60', 'wander', 'none', 20, 30],
      ['c120', 'dropout', 'none', 20, 30],
      ['c60', 'wander', 'doubtful', 30, Infinity],
    ]);
    // Four fibres, but three directions only: the one of which there is no second is not to be spared.
    const doubled = plate([0, 0, 60, 120]);
    const spells = sickSpells(doubled, [told('jump', [1], 10), told('jump', [3], 10)]);
    assert.deepEqual(
      spells.map(({ channel, effect }) => [channel, effect]),
      [
        [1, 'without'],
        [3, 'doubtful'],
      ],
    );
  });

  it('come of sensor events of strain channels only, and not of passing spikes', () => {
    const others = [told('spike', [1], 10, 11), told('heat', [], 10), told('crack', [], 10), told('stuck', [0], 10)];
    assert.deepEqual(sickSpells(plate(), others), []);
    assert.deepEqual(sickSpells(plate([0, 90]), [told('wander', [1], 10)]), []);
  });

  it('of one channel do not break each other up', () => {
    assert.deepEqual(
      brief(sickSpells(plate(), [told('wander', [1], 10), told('dropout', [1], 20, 30), told('jump', [1], 40)])),
      [['c0', 'wander', 'without', 10, Infinity]],
    );
  });
});

describe('the tensor of a cell with a sick channel', () => {
  const random = new RandomStream(5, 'readings');
  const rows = Array.from({ length: 40 }, (_, t) => [t, 0, 20, ...directionsDeg.map(() => 100 * random.normal())]);
  const basis = plate();

  /** Least squares over the channels named, in microstrain; and what it leaves unexplained per degree of freedom. */
  function expected(row: number, channels: readonly number[]): { tensor: number[]; residual: number } {
    const design = new Matrix(
      channels.map((c) => {
        const angle = (directionsDeg[c]! * Math.PI) / 180;
        return [Math.cos(angle) ** 2, Math.sin(angle) ** 2, Math.sin(angle) * Math.cos(angle)];
      }),
    );
    const readings = Matrix.columnVector(channels.map((c) => rows[row]![3 + c]!));
    const tensor = solve(design, readings);
    const misfit = Matrix.sub(readings, design.mmul(tensor)).norm('frobenius');
    return { tensor: tensor.to1DArray(), residual: channels.length > 3 ? misfit : NaN };
  }

  it('is that of least squares over the others, row by row, whatever the chunks', () => {
    const sick = sickSpells(basis, [told('wander', [2], 20), told('stuck', [4], 5, 10)]);
    const left = (t: number): number[] => (t >= 20 ? [0, 2, 3] : t >= 5 && t < 10 ? [0, 1, 2] : [0, 1, 2, 3]);
    for (const size of [1, 7, 40]) {
      const strain = new CellStrain(basis.header, basis.layouts[0]!, basis.context, size, { sick });
      for (let from = 0; from < rows.length; from += size) {
        const part = rows.slice(from, from + size);
        const { strain: channels, ex, ey, gxy } = strain.convert(rowBlock(part, from)).rosettes[0]!;
        part.forEach((_, i) => {
          const { tensor, residual } = expected(from + i, left(from + i));
          const got = [ex[i]!, ey[i]!, gxy[i]!];
          got.forEach((value, c) => assert.ok(Math.abs(value * 1e6 - tensor[c]!) < 1e-9, `row ${from + i}`));
          const unexplained = strain.solver(0).residual(channels, i, ex[i]!, ey[i]!, gxy[i]!) * 1e6;
          assert.ok(Number.isNaN(residual) ? Number.isNaN(unexplained) : Math.abs(unexplained - residual) < 1e-9);
        });
      }
    }
  });

  it('is solved with it, and said to be doubtful, where no direction is to spare', () => {
    const sick = sickSpells(basis, [told('wander', [2], 20), told('wander', [3], 25)]);
    const strain = new CellStrain(basis.header, basis.layouts[0]!, basis.context, 40, { sick });
    const { ex } = strain.convert(rowBlock(rows)).rosettes[0]!;
    assert.ok(Math.abs(ex[30]! * 1e6 - expected(30, [0, 2, 3]).tensor[0]!) < 1e-9);
    assert.deepEqual(
      spellsAt(sick, 0, 0, 30).map(({ name, effect }) => [name, effect]),
      [
        ['c45', 'without'],
        ['c90', 'doubtful'],
      ],
    );
    assert.deepEqual(spellsAt(sick, 0, 0, 19), []);
  });
});
