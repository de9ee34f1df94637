import assert from 'node:assert/strict';
import { neighbour } from '../../src/extension/neighbour.ts';

describe('neighbour', () => {
  const events = [{ line: 30 }, { line: 10 }, { line: 20 }];

  it('is the nearest event after or before the line, never the one on it', () => {
    assert.equal(neighbour(events, 10, 1)?.line, 20);
    assert.equal(neighbour(events, 30, -1)?.line, 20);
  });

  it('goes on from the other end', () => {
    assert.equal(neighbour(events, 30, 1)?.line, 10);
    assert.equal(neighbour(events, 10, -1)?.line, 30);
  });

  it('is none where there are no events', () => {
    assert.equal(neighbour([], 10, 1), undefined);
  });
});
