// Whether what a scenario asks for comes to pass in its log: events and datum window that lie beyond its rows would be
// missing in the log and in its truth, without a word.
import { buildClock } from './buildClock.ts';
import type { Moment, Scenario } from './scenario.ts';
import type { ScenarioSection } from './scenarioSection.ts';

/** `moments`: of the events, in the order of their list. Says what is wrong in `top`. */
export function checkTimes(scenario: Scenario, moments: readonly Moment[], top: ScenarioSection): void {
  const clock = buildClock(scenario);
  const rows = Math.floor(clock.endS * scenario.rateHz);
  const lastS = (rows - 1) / scenario.rateHz;
  if (rows < 1) {
    top.say(
      'rate',
      `at this rate the log would have no row in the ${seconds(clock.endS)} of the build; give a higher one`,
    );
    return;
  }
  moments.forEach((at, index) => {
    const path = ['events', index, 'at'] as const;
    if ('layer' in at && at.layer > scenario.build.layers) {
      top.sayAt(
        [...path, 'layer'],
        `there is no layer ${at.layer}; give one of 1 to ${scenario.build.layers}, or the build more layers`,
      );
    } else if (clock.timeOf(at) > lastS) {
      const remedy = `this is after the last row, at ${seconds(lastS)}; give less, or the build more layers`;
      top.sayAt([...path, 'layer' in at ? 'after' : 'time'], remedy);
    }
  });
  checkDatum(scenario, lastS, top);
}

function checkDatum({ datum: { fromS, toS } }: Scenario, lastS: number, top: ScenarioSection): void {
  const span = `${seconds(fromS)} to ${seconds(toS)}`;
  if (!top.holds(['datum'])) {
    if (fromS < toS) return;
    top.say('warm_up', `it leaves no time for a datum window (${span}); give more, or 'datum: {from: 0 s, to: 60 s}'`);
  } else if (fromS >= toS) {
    const key = top.holds(['datum', 'to']) ? 'to' : 'from';
    top.sayAt(['datum', key], `the window, ${span}, is empty; let 'from' be less than 'to'`);
  } else if (toS > lastS) {
    const key = fromS > lastS && top.holds(['datum', 'from']) ? 'from' : 'to';
    top.sayAt(
      ['datum', key],
      `the window, ${span}, is not over by the last row, at ${seconds(lastS)}; give an earlier one`,
    );
  }
}

function seconds(valueS: number): string {
  return `${Number(valueS.toFixed(3))} s`;
}
