// Strain mechanics against published figures, other libraries and simulation. Prints the table of all checks at the end.
// Accuracy floor: 1e-9 relative for exact formulas in double precision; where a book prints rounded figures, half its
// last digit.
import assert from 'node:assert/strict';
import { checkTable } from './check.ts';
import type { CheckResult } from './check.ts';
import { mechanicsChecks } from './mechanicsChecks.ts';

describe('strain mechanics agrees with', () => {
  const results: CheckResult[] = [];
  for (const check of mechanicsChecks) {
    it(`${check.source}: ${check.quantity}`, () => {
      const got = check.got();
      results.push({ check, got });
      const difference = Math.abs(got - check.expected);
      const told = `got ${got} ${check.unit}, expected ${check.expected} within ${check.tolerance}`;
      assert.ok(difference <= check.tolerance, told);
    });
  }

  after(() => {
    console.log(`\nExternal checks of strain mechanics\n\n${checkTable(results)}\n`);
  });
});
