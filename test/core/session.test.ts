// The whole pipeline: what it says does not depend on how its bytes arrive, and a state put away goes on as if nothing
// had happened.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { analyse, Session } from '../../src/core/session.ts';
import { pack, unpack } from '../../src/worker/plainCodec.ts';
import type { SessionState } from '../../src/core/session.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';

const text = simulateBuild(sampleScenario('release')).text;
const bytes = new TextEncoder().encode(text);

/** Everything a session has to say, as plain data. */
function told(session: Session): unknown {
  return { events: session.events, problems: session.problems, rows: session.rows, state: session.save() };
}

describe('session', () => {
  const whole = told(analyse(bytes));

  it('gives the same whatever the chunks', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 90_000 }), { minLength: 1, maxLength: 40 }), (sizes) => {
        const session = new Session({ settings: {} });
        for (let at = 0, i = 0; at < bytes.length; i++) {
          const size = sizes[i % sizes.length]!;
          session.push(bytes.subarray(at, at + size));
          at += size;
        }
        session.finish();
        assert.deepEqual(told(session), whole);
      }),
      { numRuns: 5 },
    );
  });

  it('flushing at any moment changes nothing', () => {
    const session = new Session({ settings: {} });
    for (let at = 0; at < bytes.length; at += 50_021) {
      session.push(bytes.subarray(at, at + 50_021));
      session.flush();
    }
    session.finish();
    assert.deepEqual(told(session), whole);
  });

  it('a saved state goes on in another session, through the index codec, to the same end', () => {
    const cut = Math.floor(bytes.length * 0.6);
    const first = new Session({ settings: {} });
    first.push(bytes.subarray(0, cut));
    first.flush();
    const { json, buffers } = pack(first.save());
    const state = unpack(json, (index) => buffers[index]!) as SessionState;
    const second = Session.resume({ settings: {} }, first.head!, state);
    second.push(bytes.subarray(state.flow.offset));
    second.finish();
    assert.deepEqual(told(second), whole);
  });

  it('a header with errors gives problems and no rows', () => {
    const session = analyse(new TextEncoder().encode(text.replace('thickness: 30 mm', 'thickness: 30 MPa')));
    assert.equal(session.basis, undefined);
    assert.equal(session.rows, 0);
    assert.equal(session.problems[0]?.code, 'unit-mismatch');
  });

  it('a file that is one long line is told as that, and not as empty', () => {
    const session = analyse(new Uint8Array(5 * 1024 * 1024).fill('7'.charCodeAt(0)));
    assert.deepEqual(
      session.problems.map(({ code }) => code),
      ['header-too-long'],
    );
  });

  it('an empty file is told, not thrown', () => {
    const session = analyse(new Uint8Array(0));
    assert.equal(session.basis, undefined);
    assert.ok(session.problems.some((problem) => problem.severity === 'error'));
  });
});
