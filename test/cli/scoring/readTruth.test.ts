// A truth file: read into SI, and refused at the place of its mistake.
import assert from 'node:assert/strict';
import { readTruth } from '../../../src/cli/scoring/readTruth.ts';

const text = `truth: 1
events:
- nature: mechanical
  kind: crack
  time_s: 120.5
  origin_mm: [40, 55]
  size_microstrain: 12
  cells:
  - {cell: A1, plane: up, change_microstrain: [12, -3, 4]}
`;

describe('a truth file', () => {
  it('is turned to SI', () => {
    const read = readTruth(text);
    assert.ok(read.ok);
    const [event] = read.events;
    assert.equal(event!.timeS, 120.5);
    assert.equal(event!.fullTimeS, 120.5);
    assert.ok(Number.isNaN(event!.endTimeS));
    assert.ok(Math.abs(event!.originM[1] - 0.055) < 1e-12);
    assert.ok(Math.abs(event!.cells[0]!.change[1] + 3e-6) < 1e-15);
  });

  const mistakes: readonly (readonly [string, string, number, RegExp])[] = [
    ['nature: mechanical', 'nature: mecanical', 3, /choose mechanical, thermal or sensor/],
    ['  kind: crack\n', '', 3, /kind: this is missing/],
    ['time_s: 120.5', 'time_s: soon', 5, /write a number/],
    ['[12, -3, 4]', '[12, -3]', 9, /change_microstrain.*missing/],
    ['size_microstrain', 'size_microstrian', 7, /not known here/],
    ['truth: 1', 'truth: 2', 1, /only version 1/],
    ['origin_mm: [40', 'origin_mm: [[40', 7, /YAML cannot be read/],
  ];
  for (const [from, to, line, message] of mistakes) {
    it(`is refused with '${to.trim() || 'a key left out'}', at line ${line}`, () => {
      assert.ok(text.includes(from));
      const read = readTruth(text.replace(from, () => to));
      assert.ok(!read.ok);
      assert.match(read.message, message);
      assert.equal(read.line, line);
    });
  }
});
