import assert from 'node:assert/strict';
import { Questions } from '../../src/worker/questions.ts';

describe('questions to a worker', () => {
  it('are answered before a lull is said to have come, those that follow from an answer too', async () => {
    const questions = new Questions();
    const order: string[] = [];
    const ask = async (name: string): Promise<void> => {
      await questions.during(new Promise((done) => setTimeout(done, 60)));
      order.push(name);
    };
    const asked = ask('first').then(() => ask('second'));
    await questions.lull().then(() => order.push('lull'));
    await asked;
    assert.deepEqual(order, ['first', 'second', 'lull']);
  });

  it('hold nobody up for ever, and pass on what goes wrong', async () => {
    const questions = new Questions();
    void questions.during(new Promise(() => undefined));
    await questions.lull();
    await assert.rejects(questions.during(Promise.reject(new Error('no such series'))), /no such series/);
  });
});
