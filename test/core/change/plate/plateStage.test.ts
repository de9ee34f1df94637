// What the plate makes of its cells' findings. Which cell may witness for which is common practice, no published source.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../../src/core/change/events.ts';
import type { CellFinding } from '../../../../src/core/change/findings.ts';
import { PlateStage } from '../../../../src/core/change/plate/plateStage.ts';
import { cellLayouts } from '../../../../src/core/strain/layout.ts';
import { changeFinding, rosetteChange } from '../../../support/changeFinding.ts';
import { quietPlate } from '../../../support/quietPlate.ts';

/** Nine cells in a grid, three fibres each; cell 4 is in the middle, 3 and 5 are next to it. */
function eventsOf(findings: readonly CellFinding[]): readonly StrainEvent[] {
  const { header } = quietPlate({ samples: 1 });
  const stage = new PlateStage(header, cellLayouts(header));
  stage.push(findings);
  stage.finish();
  return stage.events();
}

function told(findings: readonly CellFinding[]): string[] {
  return eventsOf(findings).map(({ nature, kind }: StrainEvent) => `${nature} ${kind}`);
}

describe('what the plate makes of findings', () => {
  const lone = { cell: 4, delta: [40e-6, 0, 0], rosettes: [rosetteChange(40e-6, -13e-6, 0)], soloEvidence: 7 };

  it('lays to the channel what one channel did, though a neighbour had a wild reading just then', () => {
    const channel = { ...lone, soloChannel: 12 };
    assert.deepEqual(told([changeFinding(100, channel)]), ['sensor jump']);
    const beside = { cell: 5, delta: [20e-6, 0, 0], surprise: 12 };
    const unsure = changeFinding(101, { ...beside, stage: 'suspected' });
    assert.deepEqual(told([changeFinding(100, channel), unsure]), ['sensor jump']);
    const [first] = told([changeFinding(100, channel), changeFinding(101, beside)]);
    assert.equal(first?.split(' ')[0], 'mechanical');
  });

  it('takes a neighbour for a witness of a passing blow only where that began with it', () => {
    const passing = { endRow: 106, endTimeS: 106, soloEvidence: 3 };
    const blow = changeFinding(100, { ...lone, ...passing, soloChannel: 12 });
    assert.deepEqual(told([blow]), ['sensor spike']);
    const neighbour = { cell: 5, delta: [20e-6, 10e-6, 0], rosettes: [rosetteChange(20e-6, 5e-6, 0)], surprise: 12 };
    const unsure = (row: number): CellFinding => changeFinding(row, { ...neighbour, stage: 'suspected' });
    assert.deepEqual(told([blow, unsure(101)]), ['mechanical strike']);
    assert.deepEqual(told([blow, unsure(104)]), ['sensor spike']);
  });

  it('lays to a gross break what a cell farther off tells late, with an onset from before it, but not a change as large', () => {
    const gross = changeFinding(100, {
      cell: 0,
      sigmas: 90,
      rosettes: [rosetteChange(60e-6, 60e-6, 0)],
      soloEvidence: -90,
    });
    const late = { cell: 8, knownRow: 106, length: 8, surprise: 19, soloEvidence: -20 };
    const slight = changeFinding(91, { ...late, rosettes: [rosetteChange(4e-6, 4e-6, 0)] });
    assert.equal(told([gross, slight]).length, 1);
    const large = changeFinding(91, { ...late, sigmas: 60, rosettes: [rosetteChange(50e-6, 50e-6, 0)] });
    assert.equal(told([gross, large]).length, 2);
    const before = changeFinding(91, { ...slight, knownRow: 96 });
    assert.equal(told([before, gross]).length, 2);
  });

  it('gives a cell to the sure change that begins with its own, not to what it once suspected', () => {
    const once = changeFinding(85, { cell: 8, serial: 1, stage: 'suspected', surprise: 9, knownRow: 88 });
    const gross = changeFinding(100, {
      cell: 4,
      sigmas: 90,
      rosettes: [rosetteChange(60e-6, 60e-6, 0)],
      soloEvidence: -90,
    });
    const now = {
      cell: 8,
      serial: 2,
      soloEvidence: -20,
      rosettes: [rosetteChange(4e-6, 4e-6, 0)],
      delta: [4e-6, 4e-6, 4e-6],
    };
    assert.equal(told([once, gross, changeFinding(100, now)]).length, 1);
  });

  it('holds to what it is sure of, whatever the cell suspects on top of it', () => {
    const sure = changeFinding(100, {
      ...lone,
      sigmas: 160,
      soloEvidence: -40,
    });
    const rest = { cell: 4, serial: 7, length: 32, sigmas: 4, delta: [0, 0, 5e-7], soloEvidence: 7, soloChannel: 14 };
    const suspected = changeFinding(112, { ...rest, knownRow: 160, stage: 'suspected' });
    const [kind] = told([sure]);
    assert.equal(kind?.split(' ')[0], 'mechanical');
    assert.deepEqual(told([sure, suspected]), [kind]);
  });

  it('keeps what lasts where only what came on top of it went back, and tells a blow in parts by its whole', () => {
    const grid = (size: number, row: number, serial: number): CellFinding =>
      changeFinding(row, {
        cell: 4,
        serial,
        soloEvidence: -40,
        delta: [size, size, size],
        rosettes: [rosetteChange(size, size, 0)],
      });
    const back = (serial: number): CellFinding =>
      changeFinding(100, { cell: 4, serial, stage: 'returned', knownRow: 110, endRow: 108, endTimeS: 108 });
    const parts = [grid(20e-6, 100, 1), grid(9e-6, 102, 2)];
    const [lasting] = told(parts);
    assert.deepEqual(told([...parts, back(2)]), [lasting]);
    for (const both of [
      [back(1), back(2)],
      [back(2), back(1)],
    ]) {
      const [event, ...rest] = eventsOf([...parts, ...both]);
      assert.deepEqual([event?.kind, rest.length], ['strike', 0]);
      const size = event!.evidence.find(({ name }) => name === 'size')!.value;
      assert.ok(Math.abs(size - 29) < 0.1, `${size} of 29`);
    }
  });

  it('is not sure of a step that all fibres of several cells share, and says why', () => {
    const stepped = (
      row: number,
      cells: readonly number[],
      size: (cell: number, fibre: number) => number,
    ): StrainEvent =>
      eventsOf(
        cells.map((cell) => {
          const delta = [0, 1, 2].map((fibre) => size(cell, fibre));
          const [a, b, c] = delta as [number, number, number];
          // Directions 0, 60 and 120 degrees.
          const rosettes = [rosetteChange(a, (2 * (b + c) - a) / 3, (2 * (b - c)) / Math.sqrt(3))];
          return changeFinding(row, { cell, delta, rosettes, soloEvidence: -40 });
        }),
      )[0]!;
    const port = stepped(100, [3, 4, 5], (cell, fibre) => (6 + 0.3 * Math.sin(cell + 3 * fibre)) * 1e-6);
    assert.deepEqual([port.nature, port.sure, port.severity], ['mechanical', false, 'warning']);
    assert.match(port.message, /not sure: all fibres of these cells changed by the same/);
    // A release in the midst: as even in all directions, but felt less by the cells beside it.
    const falling = stepped(100, [3, 4, 5], (cell) => (cell === 4 ? 12 : 4) * 1e-6);
    assert.deepEqual([falling.kind, falling.severity], ['release', 'error']);
    // As strong in all cells, but by the directions of the fibres.
    const sheared = stepped(100, [3, 4, 5], (_, fibre) => [12, 4, 3][fibre]! * 1e-6);
    assert.equal(sheared.severity, 'error');
  });

  it('tells heat that several places felt most as one change, of all its cells', () => {
    const warm = (cell: number, size: number, knownRow: number): CellFinding =>
      changeFinding(100, {
        cell,
        knownRow,
        sigmas: size * 1e6,
        delta: [size, size, size],
        rosettes: [rosetteChange(size, size, 0)],
        temperatureK: 3,
        usualK: 0.05,
        soloEvidence: -40,
      });
    // Opposite corners of the grid, out of each other's reach.
    const corners = [warm(0, 16e-6, 103), warm(8, 14e-6, 104), warm(2, 15e-6, 106)];
    const [event, ...others] = eventsOf(corners);
    assert.deepEqual([event?.kind, event?.cells.map(({ cell }) => cell), others.length], ['heat', [0, 2, 8], 0]);
    // It was known when the first of them was.
    assert.equal(event!.detectedRow, 103);
  });

  const faint = { delta: [4e-6, 4e-6, 4e-6], rosettes: [rosetteChange(4e-6, 4e-6, 0)], surprise: 15, lasting: true };
  const here = changeFinding(100, { ...faint, cell: 4, stage: 'suspected', soloEvidence: -20 });
  const beside = changeFinding(101, { ...faint, cell: 5, stage: 'suspected', soloEvidence: -20 });

  it('tells what no cell alone is sure of but two together are', () => {
    assert.deepEqual(told([here]), []);
    assert.deepEqual(told([here, beside]).length, 1);
  });

  it('takes that back when the second, better known, began at another time', () => {
    const later = { ...beside, knownRow: 130, row: 120 };
    assert.deepEqual(told([here, beside, later]), []);
  });

  it('tells two breaks where the cell between two that changed much hardly did, and one where it did', () => {
    const rosettes = [rosetteChange(20e-6, 20e-6, 0)];
    const strong = (cell: number, sigmas: number): CellFinding =>
      changeFinding(100, { cell, sigmas, rosettes, delta: [20e-6, 20e-6, 20e-6], soloEvidence: -40 });
    const between = (sigmas: number): CellFinding => {
      const size = sigmas * 1e-6;
      return changeFinding(101, {
        cell: 1,
        sigmas,
        rosettes: [rosetteChange(size, size, 0)],
        delta: [size, size, size],
        soloEvidence: -10,
      });
    };
    assert.equal(told([strong(0, 20), between(5), strong(2, 19)]).length, 2);
    assert.equal(told([strong(0, 20), strong(2, 19)]).length, 2);
    assert.equal(told([strong(0, 20), between(16), strong(2, 19)]).length, 1);
    // What is but half as large is carried there by the metal.
    const carried = { rosettes: [rosetteChange(9e-6, 9e-6, 0)], delta: [9e-6, 9e-6, 9e-6], soloEvidence: -20 };
    assert.equal(told([strong(0, 20), changeFinding(101, { cell: 2, sigmas: 9, ...carried })]).length, 1);
  });

  it('asks for more where cells have gone far together again and again, and nothing broke', () => {
    /** Both cells, so many rows later and so surprising. */
    const both = (row: number, surprise: number): CellFinding[] =>
      [here, beside].map((one) => {
        const { row: began, knownRow } = one as { row: number; knownRow: number };
        return { ...one, row: began + row, knownRow: knownRow + row, serial: row, surprise } as CellFinding;
      });
    const untrue = Array.from({ length: 30 }, (_, i) => both(400 * (i + 1), 11)).flat();
    const news = both(20_000, 14);
    assert.deepEqual(told(untrue), []);
    assert.equal(told(news).length, 1);
    assert.deepEqual(told([...untrue, ...news]), []);
    // What a break of some size tells is far beyond.
    assert.equal(told([...untrue, ...both(20_000, 40)]).length, 1);
    // As many that hardly passed teach nothing.
    const chance = Array.from({ length: 30 }, (_, i) => both(400 * (i + 1), 6.5)).flat();
    assert.equal(told([...chance, ...news]).length, 1);
  });

  it('calls an even change heat where the temperature did what it does not do as a rule, and only there', () => {
    const even = { cell: 4, rosettes: [rosetteChange(10e-6, 10e-6, 0)], temperatureK: 1, soloEvidence: -20 };
    assert.deepEqual(told([changeFinding(100, { ...even, usualK: 0.02 })]), ['thermal heat']);
    const [usual] = told([changeFinding(100, { ...even, usualK: 0.5 })]);
    assert.equal(usual?.split(' ')[0], 'mechanical');
  });

  it('tells no place, and no part, of a change whose origin could be anywhere on the plate', () => {
    for (const [columns, known] of [
      [1, false],
      [3, true],
    ] as const) {
      const { header } = quietPlate({ samples: 1, columns, rows: columns });
      const stage = new PlateStage(header, cellLayouts(header));
      stage.push([changeFinding(100, { delta: [40e-6, 0, 0], rosettes: [rosetteChange(40e-6, -13e-6, 0)] })]);
      stage.finish();
      const event = stage.events()[0]!;
      assert.equal(event.nature, 'mechanical');
      const { originM, originSpreadM, message, evidence } = event;
      assert.deepEqual([...originM, originSpreadM].map(Number.isFinite), [known, known, known]);
      assert.equal(/ at x \d+, y \d+ mm/.test(message), known, message);
      const said = evidence.find(({ name }) => name === 'origin-spread')!.text;
      assert.match(said, known ? /^Origin known to \d+ mm\.$/ : /^Origin not known: /);
    }
  });
});

describe('a plate that expands as a whole, told by no thermometer', () => {
  const expansion = { rosettes: [rosetteChange(20e-6, 20e-6, 0)], delta: [20e-6, 20e-6, 20e-6], temperatureK: NaN };
  const grows = (cell: number): CellFinding =>
    changeFinding(100, { ...expansion, cell, serial: 1, knownRow: 112, length: 16, ramp: true });

  it('is told once, with the cell that was suspected alone before', () => {
    const alone = changeFinding(80, { ...expansion, cell: 7, serial: 1, knownRow: 84, stage: 'suspected' });
    const events = eventsOf([alone, ...[0, 1, 2, 3, 4, 5, 6, 7].map(grows)]);
    assert.deepEqual(
      events.map(({ kind, cells }) => [kind, cells.length]),
      [['heat', 8]],
    );
  });

  it('is told once where a part of it was told as something else before', () => {
    const part = changeFinding(103, { ...expansion, cell: 8, knownRow: 106, soloEvidence: -30 });
    assert.deepEqual(told([part]), ['mechanical release']);
    assert.deepEqual(told([part, ...[0, 1, 2, 3, 4, 5, 6, 7].map(grows)]), ['thermal heat']);
  });

  it('leaves alone what broke minutes before', () => {
    const before = changeFinding(20, { cell: 8, rosettes: [rosetteChange(40e-6, -13e-6, 0)], soloEvidence: -30 });
    assert.deepEqual(told([before, ...[0, 1, 2, 3, 4, 5, 6, 7].map(grows)]), ['mechanical crack', 'thermal heat']);
  });
});
