import assert from 'node:assert/strict';
import { problemFinding } from '../../src/cli/finding.ts';
import { wholeLine } from '../../src/core/problem.ts';

describe('a finding', () => {
  it('names its log as it is called, whatever signs are in the name', () => {
    const message = "write '<log>.notes.yaml' beside <log>";
    const problem = { range: wholeLine(1), severity: 'error', code: 'any', message } as const;
    const { message: told } = problemFinding(problem, "runs/a$&$$b$'.csv");
    assert.equal(told, "write 'a$&$$b$'.csv.notes.yaml' beside a$&$$b$'.csv");
  });
});
