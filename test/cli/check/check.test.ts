import assert from 'node:assert/strict';
import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { cellNames, lineOfRow, plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';
import { checkedJson } from '../checkedJson.ts';

const step = { at: 600, cell: 1, size: 60 } as const;

describe('underplate check', function () {
  this.timeout(120_000);
  let folder = '';
  before(() => {
    folder = folderWith({
      'quiet.strain.csv': plateLog(),
      'step.strain.csv': plateLog({ steps: [step] }),
      'odd.strain.csv': plateLog({
        instead: { 100: '100.0,3,1,2', 200: '200.0,6,oops,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0' },
      }),
      'broken.strain.csv': plateLog().replace('thickness: 25 mm', 'thickness: 25 MPa'),
    });
  });
  after(() => removeFolder(folder));

  it('finds nothing in a quiet log and leaves with 0', async () => {
    const { code, out } = await run(['check', 'quiet.strain.csv'], { cwd: folder });
    assert.equal(out, 'quiet.strain.csv: 900 rows, 14 min 59 s: nothing found\n');
    assert.equal(code, 0);
  });

  it('never says that nothing was found in what was too short to judge', async () => {
    const [head, names, ...rows] = plateLog().split(/^(time,.*\n)/m);
    const path = join(folder, 'short.strain.csv');
    writeFileSync(path, [head, names, rows.join('').split('\n').slice(0, 100).join('\n'), '\n'].join(''));
    for (const format of ['text', 'markdown']) {
      const { out } = await run(['check', '--format', format, 'short.strain.csv'], { cwd: folder });
      assert.match(out, /too short to judge: the first \d+ layers only teach/, format);
      assert.doesNotMatch(out, /nothing found/, format);
    }
    rmSync(path);
  });

  it('finds a step in the metal at its line, cell and part, and leaves with 1', async () => {
    const { code } = await run(['check', 'step.strain.csv'], { cwd: folder });
    assert.equal(code, 1);
    const [log] = await checkedJson(folder, 'step.strain.csv');
    assert.equal(log?.rows, 900);
    assert.equal(log.duration_s, 899);
    const [event, ...more] = log.events.filter(({ nature }) => nature === 'mechanical');
    assert.equal(more.length, 0);
    assert.equal(event?.severity, 'error');
    assert.ok(Math.abs(event.line - lineOfRow(step.at)) <= 2, `line ${event.line}`);
    assert.ok(Math.abs(event.time_s - step.at) <= 2);
    assert.ok(event.detected_time_s >= event.time_s);
    assert.equal(event.layer, 20);
    assert.equal(event.part, 'bracket');
    const [strongest] = event.cells;
    assert.deepEqual([strongest?.cell, strongest?.plane], [cellNames[step.cell], 'up']);
    // What plateLog puts in: ex -0.4, ey 1 and gxy 0.5 of the size; noise is one microstrain a reading.
    const expected = [-24, 60, 30];
    strongest?.change_microstrain.forEach((value, at) => assert.ok(Math.abs(value - expected[at]!) < 6, `${value}`));
  });

  it('writes lines that a terminal and a problem matcher can follow', async () => {
    const { out } = await run(['check', 'odd.strain.csv', 'step.strain.csv'], { cwd: folder });
    const lines = out.trimEnd().split('\n');
    const findings = lines.filter((line) => / \[[a-z-]+\]$/.test(line));
    for (const line of findings) assert.match(line, /^\w+\.strain\.csv:\d+:\d+: (error|warning|info): .+ \[[a-z-]+\]$/);
    assert.ok(findings.some((line) => line.startsWith(`odd.strain.csv:${lineOfRow(100)}:`)));
    assert.ok(findings.some((line) => line.startsWith(`odd.strain.csv:${lineOfRow(200)}:`)));
    assert.equal(lines.length - findings.length, 2, 'one summary line a log');
  });

  it('tells a header mistake at its exact place and still reads the other logs', async () => {
    const [broken, quiet] = await checkedJson(folder, 'broken.strain.csv', 'quiet.strain.csv');
    const text = readFileSync(join(folder, 'broken.strain.csv'), 'utf8').split('\n');
    const line = text.findIndex((one) => one.includes('25 MPa'));
    const mistake = broken?.problems.find(({ code }) => code === 'unit-mismatch');
    assert.deepEqual([mistake?.line, mistake?.column], [line + 1, text[line]!.indexOf('25 MPa') + 1]);
    assert.equal(mistake?.severity, 'error');
    assert.equal(quiet?.rows, 900);
  });

  it('takes folders and patterns, each log once, and keeps the order asked for', async () => {
    const all = await checkedJson(folder, 'step.strain.csv', '.', '*.csv');
    assert.deepEqual(
      all.map(({ path }) => path),
      ['step.strain.csv', 'broken.strain.csv', 'odd.strain.csv', 'quiet.strain.csv'],
    );
  });

  it('takes the tables of a folder beside which a header lies, and no others', async () => {
    const logs = join(folder, 'tables');
    mkdirSync(logs);
    for (const ending of ['', '.header.yaml']) {
      copyFileSync(`sample-logs/foreign-table.csv${ending}`, join(logs, `t.csv${ending}`));
    }
    copyFileSync('sample-logs/foreign-table.csv', join(logs, 'bare.csv'));
    copyFileSync('sample-logs/foreign-table.csv.header.yaml', join(logs, 'gone.csv.header.yaml'));
    assert.deepEqual(
      (await checkedJson(folder, 'tables')).map(({ path }) => path),
      ['tables/t.csv'],
    );
    const { code, out } = await run(['check', 'tables/bare.csv'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(out, /no strain log header; .*a companion 'bare\.csv\.header\.yaml'/);
  });

  it('gives the same bytes whatever is read beside it', async () => {
    const alone = await checkedJson(folder, 'step.strain.csv');
    const among = await checkedJson(folder, 'quiet.strain.csv', 'step.strain.csv', 'odd.strain.csv');
    assert.deepEqual(among[1], alone[0]);
  });

  it('obeys --fail-on', async () => {
    const codeFor = async (level: string, log: string): Promise<number> =>
      (await run(['check', '--fail-on', level, log], { cwd: folder })).code;
    assert.equal(await codeFor('never', 'step.strain.csv'), 0);
    assert.equal(await codeFor('warning', 'step.strain.csv'), 1);
    assert.equal(await codeFor('warning', 'quiet.strain.csv'), 0);
    assert.equal(await codeFor('error', 'broken.strain.csv'), 1);
  });

  it('lets the command line stand above the header', async () => {
    const muting = "#   detection: {mute: ['release', 'crack']}\n#   datum:";
    const text = plateLog({ steps: [step] }).replace('#   datum:', muting);
    writeFileSync(join(folder, 'muting.strain.csv'), text);
    const events = async (...argv: string[]) => (await checkedJson(folder, 'muting.strain.csv', ...argv))[0]?.events;
    assert.deepEqual(await events(), []);
    assert.notDeepEqual(await events('--mute', ''), []);
    rmSync(join(folder, 'muting.strain.csv'));
    const [log] = await checkedJson(folder, 'step.strain.csv', '--mute', 'release,crack');
    assert.deepEqual(
      log?.events.filter(({ nature }) => nature === 'mechanical'),
      [],
    );
    const [deaf] = await checkedJson(folder, 'step.strain.csv', '--smallest-jump', '500 um/m');
    assert.deepEqual(
      deaf?.events.filter(({ nature }) => nature === 'mechanical'),
      [],
    );
  });

  it('writes to a file, whole, and says nothing', async () => {
    const ran = await run(['check', 'quiet.strain.csv', '--output', 'found.txt'], { cwd: folder });
    assert.deepEqual(ran, { code: 0, out: '', err: '' });
    assert.match(readFileSync(join(folder, 'found.txt'), 'utf8'), /nothing found/);
  });

  it('colours only on a terminal that wants it', async () => {
    const coloured = async (terminal: boolean, env: Record<string, string>): Promise<boolean> =>
      (await run(['check', 'step.strain.csv'], { cwd: folder, terminal, env })).out.includes('\u001b[');
    assert.equal(await coloured(true, {}), true);
    assert.equal(await coloured(false, {}), false);
    assert.equal(await coloured(true, { NO_COLOR: '1' }), false);
    assert.equal(await coloured(false, { FORCE_COLOR: '1' }), true);
  });

  it('shows progress on a terminal and clears it', async () => {
    const { err } = await run(['check', 'quiet.strain.csv'], { cwd: folder, terminal: true });
    assert.match(err, /reading \d+ %/);
    assert.ok(err.endsWith('\r\u001b[K'));
  });

  const faultySeries: readonly (readonly [asked: string, told: RegExp])[] = [
    ['x=foo+1', /no column is named 'foo'.*'x = foo\+1'.*\[derived-unknown-name\]/],
    ['x=1/0', /no finite number in any row.*\[derived-not-finite\]/],
    ['time=1', /a column is named 'time' already.*\[derived-name-taken\]/],
  ];
  for (const [asked, told] of faultySeries) {
    it(`tells that a series asked for as ${asked} cannot be`, async () => {
      const { code, out } = await run(['check', '--derive', asked, 'quiet.strain.csv'], { cwd: folder });
      assert.equal(code, 1);
      assert.match(out, told);
    });
  }

  it('tells that two series asked for have one name', async () => {
    const twice = ['--derive', 'x=time', '--derive', 'x=2*time'];
    const { out } = await run(['check', ...twice, 'quiet.strain.csv'], { cwd: folder });
    assert.match(out, /another series is named 'x' already.*\[derived-name-taken\]/);
  });

  it('says of a log without rows that nothing was analysed', async () => {
    writeFileSync(join(folder, 'norows.strain.csv'), plateLog({ rows: 0 }));
    const { code, out } = await run(['check', 'norows.strain.csv'], { cwd: folder });
    assert.equal(code, 1);
    assert.match(out, new RegExp(`^norows\\.strain\\.csv:${lineOfRow(0) - 1}:1: error: .* \\[rows-missing\\]$`, 'm'));
    assert.match(out, /^norows\.strain\.csv: no rows, nothing was analysed: /m);
    for (const format of ['sarif', 'github', 'markdown']) {
      assert.match(
        (await run(['check', '--format', format, 'norows.strain.csv'], { cwd: folder })).out,
        /rows-missing/,
      );
    }
    const page = await run(['report', 'norows.strain.csv', '-o', '-'], { cwd: folder });
    assert.match(page.out, /Nothing was analysed/);
    assert.doesNotMatch(page.out, /No mechanical event was found/);
  });

  it('fails a log in which no channel ever reads, and says that nothing was judged', async () => {
    const silent = plateLog().replace(/^(\d+\.0,\d+)(,-?\d+\.\d+)+$/gm, `$1${',nan'.repeat(27)}`);
    writeFileSync(join(folder, 'silent.strain.csv'), silent);
    const { code, out } = await run(['check', 'silent.strain.csv'], { cwd: folder });
    assert.equal(code, 1);
    assert.match(out, /: error: no channel of strain reads anything in any row.*\[readings-missing\]$/m);
    assert.match(out, /, nothing to judge: no channel of strain ever reads$/m);
    const page = await run(['report', 'silent.strain.csv', '-o', '-'], { cwd: folder });
    assert.match(page.out, /Nothing to judge: no channel of strain ever reads\./);
    assert.doesNotMatch(page.out, /No mechanical event was found|itself is sound/);
  });

  it('does not count the rows of a log whose header stops the analysis', async () => {
    const text = plateLog().replace("'0 deg'", "'0 um'").replace('at: [', 'at: [oops, ');
    writeFileSync(join(folder, 'stopped.strain.csv'), text.replace('# %ECSV 1.0', '# %ECSV 7.0'));
    const { code, out } = await run(['check', 'stopped.strain.csv'], { cwd: folder });
    assert.equal(code, 1);
    assert.match(out, /^stopped\.strain\.csv: rows not read: \d+ error/m);
  });

  it('explains itself', async () => {
    const overview = await run(['--help'], { cwd: folder });
    assert.equal(overview.code, 0);
    for (const name of ['check', 'compare', 'derive', 'follow', 'report', 'simulate']) {
      assert.match(overview.out, new RegExp(`^ {2}${name} `, 'm'));
      const help = await run([name, '--help'], { cwd: folder });
      assert.equal(help.code, 0);
      assert.match(help.out, new RegExp(`^Usage: underplate ${name} `));
      assert.ok(help.out.split('\n').every((line) => line.length <= 120));
    }
    assert.equal((await run([], { cwd: folder })).code, 2);
    assert.match((await run(['--version'], { cwd: folder })).out, /^underplate \d+\.\d+\.\d+\n$/);
  });

  it('stops when told to, having written nothing', async () => {
    const stop = new AbortController();
    stop.abort(new Error('stopped by the user'));
    const { code, out } = await run(['check', 'quiet.strain.csv'], { cwd: folder, signal: stop.signal });
    assert.equal(code, 2);
    assert.equal(out, '');
  });
});
