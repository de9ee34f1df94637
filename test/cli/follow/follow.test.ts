import assert from 'node:assert/strict';
import { appendFileSync, existsSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { lineOfRow, plateLog, plateLogLines } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';
import type { Ran } from '../runCommand.ts';

const sketch = { steps: [{ at: 600, cell: 1, size: 60 }] } as const;

describe('underplate follow', function () {
  this.timeout(120_000);
  let folder = '';
  let log = '';
  beforeEach(() => {
    folder = folderWith({ 'a.strain.csv': '' });
    log = join(folder, 'a.strain.csv');
  });
  afterEach(() => removeFolder(folder));

  /** Follows the log while `write` adds to it; ends a while after the last addition. */
  async function following(argv: readonly string[], write: () => Promise<void>): Promise<Ran> {
    let begun: () => void = () => undefined;
    const beginning = new Promise<void>((resolve) => (begun = resolve));
    const onError = (text: string): void => {
      if (/^following|still watched$/m.test(text)) begun();
    };
    const ended = run(['follow', 'a.strain.csv', '--idle', '3', ...argv], { cwd: folder, onError });
    await Promise.race([beginning, ended]);
    await write();
    return ended;
  }

  const lines = plateLogLines(sketch);
  const upTo = (row: number): string => `${lines.slice(0, lineOfRow(row) - 1).join('\n')}\n`;
  const rows = (from: number, to: number): string =>
    `${lines.slice(lineOfRow(from) - 1, lineOfRow(to) - 1).join('\n')}\n`;

  function eventsOf(out: string): Record<string, unknown>[] {
    return out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
  }

  /** The step's rows in pieces that end anywhere, also within a line. */
  async function writeStep(): Promise<void> {
    const rest = rows(560, 700);
    for (let at = 0; at < rest.length; at += 2777) {
      await wait(120);
      appendFileSync(log, rest.slice(at, at + 2777));
    }
  }

  it('tells an event when it becomes known, as a line of text', async () => {
    writeFileSync(log, upTo(560));
    const { code, out, err } = await following([], writeStep);
    assert.deepEqual([code, err], [0, 'following a.strain.csv, 560 rows so far\n']);
    const told = out.trimEnd().split('\n');
    assert.equal(told.length, 1, out);
    const [, line] = /^a\.strain\.csv:(\d+):1: error: .* \[\w+\]$/.exec(told[0]!) ?? [];
    assert.ok(Math.abs(Number(line) - lineOfRow(600)) <= 2);
  });

  it('tells the same as a check of the whole, as JSON lines', async () => {
    writeFileSync(log, upTo(560));
    const judged = '- {id: n1, time: 601, event: of-an-older-reading, verdict: confirmed, cause: support torn}';
    writeFileSync(`${log}.notes.yaml`, `notes: 1\nlog: a.strain.csv\nthreads:\n${judged}\n`);
    const told = eventsOf((await following(['--format', 'json'], writeStep)).out);
    assert.equal(told[0]?.['schema'], 'underplate-event/1');
    assert.equal(told[0]['log'], 'a.strain.csv');
    assert.equal(told[0]['cause'], 'support torn');
    const check = await run(['check', '--format', 'json', 'a.strain.csv'], { cwd: folder });
    const { logs } = JSON.parse(check.out) as { logs: { events: Record<string, unknown>[] }[] };
    const whole = logs[0]!.events.find(({ severity }) => severity === 'error')!;
    for (const key of ['id', 'kind', 'line', 'time_s', 'detected_time_s', 'layer', 'part', 'verdict', 'cause']) {
      assert.deepEqual(told[0][key], whole[key], key);
    }
    assert.deepEqual(Object.keys(told[0]).sort(), [...Object.keys(whole), 'schema', 'log', 'news'].sort());
  });

  it('tells events though the notes cannot be read, and says where these are broken, once', async () => {
    writeFileSync(log, upTo(560));
    writeFileSync(`${log}.notes.yaml`, 'notes: 1\nthreads:\n- {id: a, time: 1, verdict: maybe}\n');
    const { out, err } = await following(['--format', 'json'], writeStep);
    assert.equal(eventsOf(out)[0]!['verdict'], null);
    assert.equal(err.match(/no verdict is told.*a\.strain\.csv\.notes\.yaml:3:\d+: /g)?.length, 1, err);
  });

  it('tells again what was told within the datum window and reads otherwise once that has closed', async () => {
    // A blow in rows 40 and 41; the window lasts from 10 to 60 s.
    const felt = [0.2, 1, 0.3, 0, 0.4, 0, 0, 0, 0];
    const fault = (cell: number, fibre: number, row: number): number =>
      row === 40 || row === 41 ? [300, 120, -90][fibre]! * felt[cell]! : 0;
    const all = plateLogLines({ rows: 150, fault });
    const within = lineOfRow(54) - 1;
    writeFileSync(log, `${all.slice(0, within).join('\n')}\n`);
    const { out, err } = await following(['--format', 'json', '--level', 'information', '--from-start'], () =>
      Promise.resolve(appendFileSync(log, `${all.slice(within).join('\n')}\n`)),
    );
    const told = eventsOf(out);
    assert.ok(
      told.some(({ news }) => news === 'corrected'),
      out,
    );
    const last = new Map(told.map((event) => [event['id'], event]));
    const check = await run(['check', '--format', 'json', 'a.strain.csv'], { cwd: folder });
    const { events } = (JSON.parse(check.out) as { logs: { events: Record<string, unknown>[] }[] }).logs[0]!;
    assert.ok(events.length > 0);
    for (const event of events) {
      const { schema, log: name, news } = last.get(event['id'])!;
      assert.deepEqual(last.get(event['id']), { ...event, schema, log: name, news });
    }
    assert.match(err, /^following a\.strain\.csv, 54 rows so far; its datum window has not closed, /m);
    assert.doesNotMatch(err, /window holds only/);
    assert.match(err, /inside the datum window .* \[datum-unfit\]/);
  });

  it('waits for the row of names, with a word', async () => {
    const names = lineOfRow(0) - 2;
    const header = lines.slice(0, names).join('\n');
    writeFileSync(log, '');
    const { code, out, err } = await following(['--from-start'], async () => {
      for (const more of [header.slice(0, 400), `${header.slice(400)}\n`, lines[names]!.slice(0, 30)]) {
        appendFileSync(log, more);
        await wait(1200);
      }
      appendFileSync(log, `${lines[names]!.slice(30)}\n${rows(0, 700)}`);
    });
    assert.deepEqual(err.split('\n'), [
      "underplate follow: 'a.strain.csv' has no row of names yet; it is still watched",
      'following a.strain.csv, 700 rows so far',
      '',
    ]);
    assert.match(out, /: error: /);
    assert.equal(code, 0);
  });

  it('keeps still about what was there before, unless asked', async () => {
    writeFileSync(log, plateLog(sketch));
    assert.equal((await following([], () => Promise.resolve())).out, '');
    assert.match((await following(['--from-start'], () => Promise.resolve())).out, /: error: /);
  });

  it('runs a command with the event in its environment and on its standard input', async () => {
    writeFileSync(log, upTo(560));
    const command = `printf '%s %s\\n' "$UNDERPLATE_KIND" "$UNDERPLATE_LINE" >> told.txt; cat >> told.json; echo heard; exit 3`;
    const { code, out, err } = await following(['--on-event', command], writeStep);
    assert.equal(code, 0);
    const [kind, line] = readFileSync(join(folder, 'told.txt'), 'utf8').trim().split(' ');
    assert.match(kind!, /^(release|crack)$/);
    assert.ok(Math.abs(Number(line) - lineOfRow(600)) <= 2);
    const event = JSON.parse(readFileSync(join(folder, 'told.json'), 'utf8')) as { kind: string };
    assert.equal(event.kind, kind);
    assert.match(out, /^heard$/m);
    assert.match(err, /the command for event .* failed: exit code 3/);
  });

  it("never takes a log's own words for a command", async () => {
    const evil = '$(touch owned) `touch owned`; touch owned';
    const renamed = (text: string): string => text.replace(/bracket:/g, `'${evil}':`);
    writeFileSync(log, renamed(upTo(560)));
    const { out } = await following(['--on-event', 'printf "%s" "$UNDERPLATE_PART"'], writeStep);
    assert.ok(out.includes(evil), out);
    assert.ok(!existsSync(join(folder, 'owned')));
  });

  it('ends when told to', async () => {
    writeFileSync(log, plateLog());
    const stop = new AbortController();
    const ended = run(['follow', 'a.strain.csv'], { cwd: folder, signal: stop.signal });
    await wait(1500);
    stop.abort(new Error('stopped by the user'));
    assert.equal((await ended).code, 0);
  });

  it('refuses a log with header errors, and says where', async () => {
    writeFileSync(log, plateLog().replace('thickness: 25 mm', 'thickness: 25'));
    const { code, err } = await run(['follow', 'a.strain.csv', '--idle', '1'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(err, /'a\.strain\.csv' cannot be followed: line \d+: /);
  });

  it('says so when the log is replaced by one whose header is broken, and goes on once it is mended', async () => {
    writeFileSync(log, upTo(560));
    const broken = upTo(500).replace('thickness: 25 mm', 'thickness: 25');
    const mended = await following(['--from-start'], async () => {
      writeFileSync(log, broken);
      await wait(1500);
      writeFileSync(log, plateLog(sketch));
    });
    const line = plateLogLines().findIndex((one) => one.includes('thickness: 25 mm')) + 1;
    assert.equal(mended.code, 0);
    assert.match(
      mended.err,
      new RegExp(`\\nunderplate follow: 'a\\.strain\\.csv' cannot be followed: line ${line}: .*\\nfollowing a`),
    );
    assert.match(mended.out, /: error: /);
    writeFileSync(log, upTo(560));
    const left = await following([], () => {
      writeFileSync(log, broken);
      return Promise.resolve();
    });
    assert.equal(left.code, 2);
  });

  for (const [title, change, said] of [
    ['deleted', () => rmSync(log), "'a.strain.csv': the log is not there any more"],
    ['emptied', () => writeFileSync(log, ''), "'a.strain.csv' has no row of names yet; it is still watched"],
    [
      'replaced by something else',
      () => writeFileSync(log, 'hello,world\n'),
      "'a.strain.csv' cannot be followed: line ",
    ],
  ] as const) {
    it(`says so when the log is ${title}, and ends with code 2`, async () => {
      writeFileSync(log, upTo(560));
      const { code, out, err } = await following([], () => Promise.resolve(change()));
      assert.equal(out, '');
      assert.ok(err.includes(`\nunderplate follow: ${said}`), err);
      assert.equal(err.split('\n').length, 3, 'once');
      assert.equal(code, 2);
    });
  }

  it('says so when the log is cut, and follows what is left', async () => {
    writeFileSync(log, upTo(560));
    const { code, err } = await following([], () => Promise.resolve(writeFileSync(log, upTo(500))));
    assert.equal(err.split('\n')[1], 'following a.strain.csv anew, since it was replaced or cut, 500 rows so far');
    assert.equal(code, 0);
  });

  it('takes nothing back when another build is put in the place of the log', async () => {
    writeFileSync(log, plateLog(sketch));
    const { out, err } = await following(['--from-start'], () => {
      writeFileSync(join(folder, 'next'), plateLog({ seed: 2 }));
      return Promise.resolve(renameSync(join(folder, 'next'), log));
    });
    assert.match(err, /anew, since it was replaced or cut/);
    assert.match(out, /^a\.strain\.csv:\d+:1: error: (?!.*taken back).*\n$/, 'one event, told once');
  });

  it('tells an event of another build though one of the build before had the same name', async () => {
    const event = (text: string): string => (JSON.parse(text) as { id: string }).id;
    writeFileSync(log, plateLog(sketch));
    const command = 'printf x >> ran';
    const { out } = await following(['--from-start', '--format', 'json', '--on-event', command], async () => {
      // Emptied first, as by a program that begins its file anew.
      writeFileSync(log, '');
      await wait(1500);
      writeFileSync(log, plateLog(sketch).replace('name: tray 3', 'name: tray 4'));
    });
    const told = out.trimEnd().split('\n');
    assert.deepEqual(
      told.map((text) => (JSON.parse(text) as { news: string }).news),
      ['told', 'told'],
    );
    assert.equal(event(told[0]!), event(told[1]!));
    assert.equal(readFileSync(join(folder, 'ran'), 'utf8'), 'xx');
  });

  it('tells nothing twice of a build whose log is only mended', async () => {
    writeFileSync(log, plateLog(sketch));
    const { out, err } = await following(['--from-start'], () => {
      writeFileSync(join(folder, 'next'), plateLog(sketch).replace('thickness: 25 mm', 'thickness: 26 mm'));
      return Promise.resolve(renameSync(join(folder, 'next'), log));
    });
    assert.match(err, /anew, since it was replaced or cut/);
    assert.equal(out.trimEnd().split('\n').length, 1, out);
  });

  it('tells rows that cannot be read with their lines, the first at once and all of them by count', async () => {
    writeFileSync(log, upTo(560));
    const spoilt = rows(560, 700).replaceAll(',', ';').split('\n').slice(0, -1);
    const { out, err } = await following(['--format', 'json'], async () => {
      for (const row of spoilt) {
        appendFileSync(log, `${row}\n`);
        if (spoilt.indexOf(row) % 30 === 0) await wait(1100);
      }
    });
    assert.equal(out, '');
    const told = [...err.matchAll(/^a\.strain\.csv:(\d+):\d+: \w+: .*? \[[\w-]+\]$/gm)];
    assert.equal(Number(told[0]![1]), lineOfRow(560));
    assert.ok(told.length < 12, `${told.length} lines`);
    const counted = told.map(([line]) => 1 + Number(/\(and (\d+) more like it\)/.exec(line)?.[1] ?? 0));
    assert.equal(
      counted.reduce((sum, count) => sum + count, 0),
      spoilt.length,
    );
  });

  it('refuses a time to idle that is none', async () => {
    const { code, err } = await run(['follow', 'a.strain.csv', '--idle', 'soon'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(err, /--idle needs a number of seconds/);
  });
});
