// What those who ask an analysis are told when its worker fails, and what becomes of the worker.
import assert from 'node:assert/strict';
import { startAnalysis, startGathered } from '../../src/worker/client.ts';
import type { AnalysisHandle } from '../../src/worker/client.ts';

const request = {
  ...{ name: 'a.strain.csv', path: '/a.strain.csv', indexFolder: '' },
  ...{ anew: false, settings: {}, companion: undefined },
};
const deaf = { post: () => undefined, onMessage: () => undefined };
const window = { series: [], fromS: 0, toS: 1, pixels: 10 };

/** An analysis whose worker takes everything and answers nothing, and the way to let it fail. */
function mute(): { handle: AnalysisHandle; fail: (message: string) => void } {
  let fail: (message: string) => void = () => undefined;
  const handle = startAnalysis(
    { ...deaf, onFailure: (listener) => (fail = listener), terminate: () => undefined },
    request,
  );
  return { handle, fail: (message) => fail(message) };
}

describe('analysis client', () => {
  it('a worker that fails leaves no question open, before or after', async () => {
    const { handle, fail } = mute();
    const told: string[] = [];
    handle.onSummary(({ state, failure }) => told.push(`${state}: ${failure}`));
    const asked = assert.rejects(handle.calls.window(window), /out of memory/);
    fail('out of memory');
    await asked;
    await handle.opened;
    await assert.rejects(handle.calls.window(window), /out of memory/);
    await assert.rejects(handle.profile(), /out of memory/);
    handle.follow(true);
    handle.cancel();
    assert.deepEqual(told, ['failed: out of memory']);
  });

  it('one that fails without words, too', async () => {
    const { handle, fail } = mute();
    let state = '';
    handle.onSummary((summary) => (state = summary.state));
    fail('');
    await handle.opened;
    assert.equal(state, 'failed');
    await assert.rejects(handle.calls.window(window));
  });

  it('a worker ends whose request cannot be gathered', async () => {
    let ended = 0;
    const thread = { ...deaf, onFailure: () => undefined, terminate: () => void ended++ };
    await assert.rejects(startGathered(thread, Promise.reject(new Error('the header cannot be read'))), /header/);
    assert.equal(ended, 1);
    (await startGathered(thread, Promise.resolve(request))).dispose();
    assert.equal(ended, 2);
  });
});
