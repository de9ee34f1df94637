import assert from 'node:assert/strict';
import { askProbe } from './askProbe.ts';
import type { Desk } from './desk.ts';
import { truthOf } from './sample.ts';
import { openDesk } from './setup.ts';

const log = 'release.strain.csv';

interface Checked {
  readonly rows: number;
  readonly events: readonly {
    readonly id: string;
    readonly layer: number;
    readonly part: string;
    readonly time_s: number;
  }[];
  readonly series: readonly { readonly id: string }[];
}

describe("agents' tools", () => {
  it('check a log, describe its event and read a window, all in bounded JSON', async () => {
    const desk = await openDesk([`sample-logs/${log}`]);
    const truth = truthOf(log)[0];
    assert.ok(truth);
    const checked = JSON.parse(await ask(desk, 'check_strain_log', { log })) as Checked;
    const event = checked.events.find(({ layer, part }) => layer === truth.layer && part === truth.part);
    assert.ok(event, 'the true release is among the events');

    const described = JSON.parse(await ask(desk, 'describe_event', { log, event: event.id })) as {
      evidence: unknown[];
    };
    assert.ok(described.evidence.length > 0);

    // The strain of A1 in y before and after the release, against what the simulator says it changed by.
    const cell = truth.cells.find((one) => one.cell === 'A1');
    assert.ok(cell && checked.series.some(({ id }) => id === 'A1_up_ey'));
    const [fromS, toS] = [truth.time_s - 60, truth.time_s + 60];
    const text = await ask(desk, 'read_window', { log, series: ['A1_up_ey'], from_s: fromS, to_s: toS });
    assert.ok(text.length < 20_000, `${text.length} characters`);
    const window = JSON.parse(text) as { time_s: number[]; series: { id: string; unit: string; values: number[] }[] };
    const [series] = window.series;
    assert.deepEqual({ id: series?.id, unit: series?.unit }, { id: 'A1_up_ey', unit: 'µm/m' });
    assert.ok(window.time_s.every((time) => time >= fromS && time <= toS));
    const mean = (when: (time: number) => boolean): number => {
      const values = series?.values.filter((_, at) => when(window.time_s[at] ?? NaN)) ?? [];
      return values.reduce((sum, value) => sum + value, 0) / values.length;
    };
    const change = mean((time) => time > truth.full_time_s) - mean((time) => time < truth.time_s);
    assert.ok(Math.abs(change - cell.change_microstrain[1]) < 6, `${change} against ${cell.change_microstrain[1]}`);
  });

  it('say plainly what is wrong with a request', async () => {
    const desk = await openDesk([`sample-logs/${log}`]);
    await assert.rejects(ask(desk, 'check_strain_log', { log: 'missing.strain.csv' }), /missing\.strain\.csv/);
    await assert.rejects(ask(desk, 'read_window', { log, series: ['nonsense'] }), /no series 'nonsense'/);
    await assert.rejects(ask(desk, 'describe_event', { log, event: 'nonsense' }), /no event 'nonsense'/);
  });
});

/** Calls a tool through the probe extension. */
async function ask({ folder }: Desk, tool: string, input: object): Promise<string> {
  return (await askProbe<{ readonly text: string }>(folder, { tool, input })).text;
}
