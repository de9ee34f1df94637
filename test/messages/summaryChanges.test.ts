import assert from 'node:assert/strict';
import fc from 'fast-check';
import { emptySummary, type LogSummary } from '../../src/messages/analysis.ts';
import { changedSummary, isMereProgress, summaryChanges } from '../../src/messages/summaryChanges.ts';
import { fromWire, toWire } from '../../src/messages/wire.ts';

const series = [{ id: 'A1_ex' }, { id: 'A1_ey' }] as unknown as LogSummary['series'];
const problems = [{ message: 'one' }, { message: 'two' }] as unknown as LogSummary['problems'];
const header = { build: { name: 'bracket' } } as unknown as LogSummary['header'];

const summaries = fc.record({
  state: fc.constantFrom<LogSummary['state']>('reading', 'sampled', 'drawn', 'complete', 'failed'),
  progress: fc.double({ min: 0, max: 1, noNaN: true }).map((share) => share + 0), // JSON has no minus zero
  rows: fc.nat(3),
  endS: fc.constantFrom(0, 5, NaN),
  header: fc.constantFrom(header, undefined),
  series: fc.constantFrom(series, [], [...series]),
  problems: fc.constantFrom(problems, [], [...problems], problems.slice(0, 1)),
});

describe('summary changes', () => {
  it('bring the other end to the same summary, whatever became of it, by way of JSON', () => {
    fc.assert(
      fc.property(fc.array(summaries, { minLength: 1, maxLength: 8 }), (all) => {
        let told: LogSummary | undefined;
        let theirs: LogSummary | undefined;
        for (const now of all.map((one) => ({ ...emptySummary('a.strain.csv'), ...one }))) {
          const changes = fromWire(JSON.parse(JSON.stringify(toWire(summaryChanges(told, now)))));
          theirs = changedSummary(theirs, changes as Partial<LogSummary>);
          told = now;
          assert.deepEqual(theirs, now);
        }
      }),
    );
  });

  it('leave out what has not changed, lists made anew of the same entries among it', () => {
    const before = { ...emptySummary('a.strain.csv'), series, problems, progress: 0.1 };
    const now = { ...before, problems: [...problems], progress: 0.2, rows: 12 };
    assert.deepEqual(summaryChanges(before, now), { progress: 0.2, rows: 12 });
    assert.ok(isMereProgress(summaryChanges(before, now)));
    assert.ok(!isMereProgress(summaryChanges(before, { ...now, state: 'drawn' })));
  });

  it('mean nothing to an end that was never told the whole', () => {
    assert.equal(changedSummary(undefined, { progress: 0.5 }), undefined);
  });
});
