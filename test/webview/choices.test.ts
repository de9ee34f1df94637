import assert from 'node:assert/strict';
import { ChoiceStore, firstChoices } from '../../webview/choices.ts';

describe('choices', () => {
  it('take from a saved state what fits and leave the rest at its first value', () => {
    const { now } = new ChoiceStore({
      cell: 3,
      groups: 'principal',
      order: 7,
      plateView: 'traces',
      hoverS: 12,
      log: 'x',
    });
    assert.equal(now.cell, 3);
    assert.equal(now.plateView, 'traces');
    assert.deepEqual(now.groups, firstChoices.groups);
    assert.equal(now.order, firstChoices.order);
    assert.ok(Number.isNaN(now.hoverS));
    for (const saved of [undefined, null, 'text', 5, []]) assert.deepEqual(new ChoiceStore(saved).now, firstChoices);
  });

  it('tell only those who listen to what changed, and nobody when nothing did', () => {
    const store = new ChoiceStore(undefined);
    const heard: string[] = [];
    store.on(['cell'], () => heard.push('cell'));
    store.on(['cursorS', 'hoverS'], () => heard.push('time'));
    store.set({ cell: 2 });
    store.set({ cell: 2, cursorS: NaN });
    store.set({ hoverS: 4 });
    assert.deepEqual(heard, ['cell', 'time']);
  });

  it('put the hovered time before the cursor', () => {
    const store = new ChoiceStore({ cursorS: 5 });
    assert.equal(store.timeS, 5);
    store.set({ hoverS: 9 });
    assert.equal(store.timeS, 9);
  });
});
