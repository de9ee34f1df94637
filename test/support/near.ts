// How tests say that a number is as published, or as a slow twin has it.
import assert from 'node:assert/strict';

/** `within`: largest absolute difference, in the unit of both; NaN is near nothing. */
export function near(got: number, want: number, within: number, what = ''): void {
  assert.ok(
    Math.abs(got - want) <= within,
    `${what === '' ? '' : `${what}: `}got ${got}, want ${want} within ${within}`,
  );
}
