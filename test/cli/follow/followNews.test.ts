// What a follower of a log hears of its events, told from what is known of them at one time and the next.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import { PlateStage } from '../../../src/core/change/plate/plateStage.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { rank } from '../../../src/core/problem.ts';
import { FollowNews } from '../../../src/cli/follow/followNews.ts';
import { changeFinding, rosetteChange } from '../../support/changeFinding.ts';
import { quietPlate } from '../../support/quietPlate.ts';

function crack(): StrainEvent {
  const { header } = quietPlate({ samples: 1 });
  const stage = new PlateStage(header, cellLayouts(header));
  stage.push([changeFinding(100, { cell: 4, rosettes: [rosetteChange(40e-6, -13e-6, 0)], soloEvidence: -20 })]);
  stage.finish();
  return stage.events()[0]!;
}

describe('news of a followed log', () => {
  const event = crack();
  const wander: StrainEvent = { ...event, nature: 'sensor', kind: 'wander', severity: 'information' };
  const heard = (...looks: readonly (readonly StrainEvent[])[]): string[][] => {
    const news = new FollowNews(rank({ severity: 'warning' }));
    return looks.map((events) => news.take(events).map(({ what, event: { kind } }) => `${what} ${kind}`));
  };

  it('tell an event once, however its size settles', () => {
    const settled: StrainEvent = { ...event, kind: 'release', message: 'Release' };
    assert.deepEqual(heard([], [event], [settled], [settled]), [[], ['told crack'], [], []]);
  });

  it('tell of one that turns out to be of another nature, and of one taken back, once each', () => {
    assert.deepEqual(heard([event], [wander], [wander]), [['told crack'], ['corrected wander'], []]);
    assert.deepEqual(heard([event], [], []), [['told crack'], ['withdrawn crack'], []]);
    assert.deepEqual(heard([event], [wander], [event]), [['told crack'], ['corrected wander'], ['corrected crack']]);
  });

  it('tell again, once the zero is fixed, what was told before and reads otherwise; and only then', () => {
    const other: StrainEvent = { ...event, message: 'Crack, and larger' };
    const told = (...looks: readonly (readonly [StrainEvent, boolean])[]): string[][] => {
      const news = new FollowNews(rank({ severity: 'warning' }));
      return looks.map(([one, zeroOpen]) =>
        news
          .take([one], ({ message }) => message, zeroOpen)
          .map(({ what, event: { message } }) => `${what} ${message}`),
      );
    };
    const first = `told ${event.message}`;
    assert.deepEqual(told([event, true], [other, true], [other, false], [event, false]), [
      [first],
      [],
      [`corrected ${other.message}`],
      [],
    ]);
    assert.deepEqual(told([event, true], [event, false], [other, false]), [[first], [], []]);
  });

  it('tell one that weighed too little once it weighs enough', () => {
    assert.deepEqual(heard([wander], [event]), [[], ['told crack']]);
  });

  it('keep still about what was there before', () => {
    const news = new FollowNews(rank({ severity: 'warning' }));
    news.pass([event]);
    assert.deepEqual(news.take([event]), []);
    assert.deepEqual(news.take([]), []);
  });
});
