import assert from 'node:assert/strict';
import type { WindowReply, WindowRequest } from '../../src/messages/analysis.ts';
import { WindowAsker } from '../../webview/windows.ts';

const request = (fromS: number): WindowRequest => ({ series: ['a'], fromS, toS: fromS + 10, pixels: 100 });
const reply = (exact: boolean): WindowReply => ({
  columns: 0,
  timeS: new Float64Array(0),
  values: [],
  exact,
  layers: [],
});
const rest = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 250));

/** An asker whose requests stay open until the test answers them. */
function open() {
  const asked: WindowRequest[] = [];
  const answers: ((reply: WindowReply) => void)[] = [];
  const failures: ((error: Error) => void)[] = [];
  const drawn: WindowRequest[] = [];
  const messages: string[] = [];
  const asker = new WindowAsker(
    (wanted) => {
      asked.push(wanted);
      return new Promise((resolve, reject) => {
        answers.push(resolve);
        failures.push(reject);
      });
    },
    (_, wanted) => drawn.push(wanted),
    (message) => messages.push(message),
  );
  return { asker, asked, answers, failures, drawn, messages };
}

describe('asking for windows', () => {
  it('keeps one request in the air and then takes the newest wish, not those between', async () => {
    const { asker, asked, answers } = open();
    for (let from = 0; from < 20; from++) asker.want(request(from));
    assert.equal(asked.length, 1);
    answers[0]!(reply(false));
    await Promise.resolve();
    await new Promise((resolve) => setImmediate(resolve));
    assert.deepEqual(
      asked.map(({ fromS }) => fromS),
      [0, 19],
    );
    asker.stop();
  });

  it('asks quickly at once, exactly when at rest', async () => {
    const { asker, asked, answers } = open();
    asker.want(request(5));
    answers[0]!(reply(false));
    await rest();
    assert.deepEqual(
      asked.map(({ quick }) => quick),
      [true, false],
    );
  });

  it('spares the second request where the quick answer was exact', async () => {
    const { asker, asked, answers } = open();
    asker.want(request(5));
    answers[0]!(reply(true));
    await rest();
    assert.equal(asked.length, 1);
  });

  it('asks exactly at once where the user stands before a plot', async () => {
    const { asker, asked, answers } = open();
    asker.want(request(5), 'drawn');
    answers[0]!(reply(true));
    await rest();
    assert.deepEqual(
      asked.map(({ quick }) => quick),
      [false],
    );
  });

  it('asks quickly and then exactly, without a rest, where the user stands before an empty plot', async () => {
    const { asker, asked, answers } = open();
    asker.want(request(5), 'empty');
    answers[0]!(reply(false));
    await new Promise((resolve) => setTimeout(resolve, 20));
    assert.deepEqual(
      asked.map(({ quick }) => quick),
      [true, false],
    );
  });

  it('asks no second time where only sampled rows are known', async () => {
    const { asker, asked, answers } = open();
    asker.want(request(5));
    answers[0]!({ ...reply(false), sampled: true });
    await rest();
    assert.equal(asked.length, 1);
  });

  it('reports a failure and goes on with the next wish', async () => {
    const { asker, asked, failures, messages } = open();
    asker.want(request(1));
    asker.want(request(2));
    failures[0]!(new Error('not read yet'));
    await new Promise((resolve) => setImmediate(resolve));
    assert.deepEqual(messages, ['not read yet']);
    assert.equal(asked.at(-1)!.fromS, 2);
    asker.stop();
  });

  it('asks for nothing where there is nothing to draw', () => {
    const { asker, asked } = open();
    asker.want({ ...request(0), series: [] });
    asker.want({ ...request(0), toS: 0 });
    asker.want({ ...request(0), pixels: 0 });
    assert.equal(asked.length, 0);
    asker.stop();
  });
});
