import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { lineOfRow, plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

interface Found {
  readonly problems: readonly { readonly line: number; readonly code: string }[];
  readonly events: readonly { readonly nature: string; readonly line: number }[];
  readonly against: { readonly ref: string; readonly problems_left_out: number; readonly events_left_out: number };
}

describe('underplate check --against', function () {
  this.timeout(120_000);
  let folder = '';
  const git = (...args: string[]): string =>
    execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...args], {
      cwd: folder,
      encoding: 'utf8',
    });
  const short = { 300: '300.0,10,1,2' };
  const first = { at: 500, cell: 1, size: 60 } as const;
  const second = { at: 700, cell: 6, size: 60 } as const;

  beforeEach(() => {
    folder = folderWith({ 'a.strain.csv': plateLog({ steps: [first], instead: short }) });
    git('init', '-q', '-b', 'main');
    git('add', '-A');
    git('commit', '-q', '-m', 'first');
  });
  afterEach(() => removeFolder(folder));

  async function found(...argv: string[]): Promise<{ code: number; log: Found }> {
    const { code, out, err } = await run(['check', '--format', 'json', '--against', 'HEAD', ...argv, 'a.strain.csv'], {
      cwd: folder,
    });
    assert.equal(err, '');
    return { code, log: (JSON.parse(out) as { logs: [Found] }).logs[0] };
  }

  it('tells nothing of an unchanged log, and says how much it left out', async () => {
    const { code, log } = await found();
    assert.equal(code, 0);
    assert.deepEqual([log.problems, log.events], [[], []]);
    assert.equal(log.against.ref, 'HEAD');
    assert.ok(log.against.problems_left_out >= 1 && log.against.events_left_out >= 1);
    const { out } = await run(['check', '--against', 'HEAD', 'a.strain.csv'], { cwd: folder });
    assert.match(out, /already in HEAD not shown/);
  });

  it('tells only the event and the odd row that are new', async () => {
    writeFileSync(
      join(folder, 'a.strain.csv'),
      plateLog({ steps: [first, second], instead: { ...short, 400: '400.0,13,x' } }),
    );
    const { code, log } = await found();
    assert.equal(code, 1);
    assert.deepEqual(
      log.problems.map(({ line }) => line),
      [lineOfRow(400)],
    );
    const mechanical = log.events.filter(({ nature }) => nature === 'mechanical');
    assert.equal(mechanical.length, 1);
    assert.ok(Math.abs(mechanical[0]!.line - lineOfRow(second.at)) <= 2);
  });

  it('knows old findings again on other lines', async () => {
    const text = plateLog({ steps: [first], instead: short }).replace(
      '# meta:',
      '# # three\n# # new\n# # lines\n# meta:',
    );
    writeFileSync(join(folder, 'a.strain.csv'), text);
    const { code, log } = await found();
    assert.equal(code, 0);
    assert.deepEqual([log.problems, log.events], [[], []]);
  });

  it('counts a second fault like one that was there', async () => {
    writeFileSync(
      join(folder, 'a.strain.csv'),
      plateLog({ steps: [first], instead: { ...short, 301: '300.0,10,1,2' } }),
    );
    const { log } = await found();
    assert.ok(log.problems.some(({ line }) => line === lineOfRow(301)));
    assert.ok(!log.problems.some(({ line, code }) => line === lineOfRow(300) && code.includes('short')));
  });

  it('takes a log that is new for wholly new', async () => {
    mkdirSync(join(folder, 'later'));
    writeFileSync(join(folder, 'later', 'b.strain.csv'), plateLog({ steps: [first] }));
    const { code, out } = await run(['check', '--against', 'HEAD', 'later'], { cwd: folder });
    assert.equal(code, 1);
    assert.match(out, /^later\/b\.strain\.csv:\d+:1: error: /m);
  });

  it('needs a revision that git knows', async () => {
    for (const ref of ['v9', '--help', '']) {
      const { code, err } = await run(['check', `--against=${ref}`, 'a.strain.csv'], { cwd: folder });
      assert.equal(code, 2);
      assert.match(err, /git knows no revision/);
    }
  });
});
