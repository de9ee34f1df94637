import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { rowHash } from '../../src/core/notes/anchor.ts';
import { InputError } from '../../src/cli/command.ts';
import { makeCheckCommand } from '../../src/cli/check.ts';
import { analyseFile } from '../../src/worker/analyseFile.ts';
import { cellNames, lineOfRow, plateLog } from './plateLog.ts';
import { folderWith, removeFolder, run, runOne } from './runCommand.ts';

const step = { at: 600, cell: 1, size: 60 } as const;

interface JsonLog {
  readonly path: string;
  readonly rows: number;
  readonly duration_s: number;
  readonly failure: string;
  readonly problems: readonly { line: number; column: number; severity: string; code: string; message: string }[];
  readonly events: readonly {
    id: string;
    nature: string;
    severity: string;
    line: number;
    time_s: number;
    detected_time_s: number;
    layer: number;
    cells: readonly { cell: string; plane: string; change_microstrain: readonly number[]; turn_deg: number | null }[];
    origin_mm: readonly number[] | null;
    part: string;
    verdict: string | null;
    message: string;
  }[];
}

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

  async function json(...argv: string[]): Promise<JsonLog[]> {
    const { out } = await run(['check', '--format', 'json', ...argv], { cwd: folder });
    const read = JSON.parse(out) as { schema: string; logs: JsonLog[] };
    assert.equal(read.schema, 'underplate-check/1');
    return read.logs;
  }

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
    const [log] = await json('step.strain.csv');
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
    const [broken, quiet] = await json('broken.strain.csv', 'quiet.strain.csv');
    const text = readFileSync(join(folder, 'broken.strain.csv'), 'utf8').split('\n');
    const line = text.findIndex((one) => one.includes('25 MPa'));
    const mistake = broken?.problems.find(({ code }) => code === 'unit-mismatch');
    assert.deepEqual([mistake?.line, mistake?.column], [line + 1, text[line]!.indexOf('25 MPa') + 1]);
    assert.equal(mistake?.severity, 'error');
    assert.equal(quiet?.rows, 900);
  });

  it('takes folders and patterns, each log once, and keeps the order asked for', async () => {
    const all = await json('step.strain.csv', '.', '*.csv');
    assert.deepEqual(
      all.map(({ path }) => path),
      ['step.strain.csv', 'broken.strain.csv', 'odd.strain.csv', 'quiet.strain.csv'],
    );
  });

  it('gives the same bytes whatever is read beside it', async () => {
    const alone = await json('step.strain.csv');
    const among = await json('quiet.strain.csv', 'step.strain.csv', 'odd.strain.csv');
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
    const [log] = await json('step.strain.csv', '--mute', 'release,crack');
    assert.deepEqual(
      log?.events.filter(({ nature }) => nature === 'mechanical'),
      [],
    );
    const [deaf] = await json('step.strain.csv', '--smallest-jump', '500 um/m');
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

  describe('with notes beside the log', () => {
    const verdict = (event: string, value: string): string =>
      `notes: 1\nthreads:\n  - id: a\n    time: 600\n    cell: B1\n    event: ${event}\n    verdict: ${value}\n    cause: door opened\n`;

    async function judged(value: string): Promise<{ code: number; out: string }> {
      const [log] = await json('step.strain.csv');
      const id = log!.events.find(({ nature }) => nature === 'mechanical')!.id;
      writeFileSync(join(folder, 'step.strain.csv.notes.yaml'), verdict(JSON.stringify(id), value));
      return run(['check', 'step.strain.csv'], { cwd: folder });
    }

    it('shows an event judged false-alarm but does not fail on it', async () => {
      const { code, out } = await judged('false-alarm');
      assert.equal(code, 0);
      assert.match(out, /\(judged false alarm: door opened\) \[/);
      assert.match(out, /1 event judged false alarm/);
      const [log] = await json('step.strain.csv');
      assert.equal(log?.events.find(({ nature }) => nature === 'mechanical')?.verdict, 'false-alarm');
    });

    it('fails on one judged confirmed', async () => {
      assert.equal((await judged('confirmed')).code, 1);
    });

    it('says of a note whose row reads otherwise, or is gone, that it is so', async () => {
      const form = { delimiter: ',', decimal: '.', timeField: 0 } as const;
      const lines = plateLog().split('\n');
      const hashes = [100, 200, 300].map((row) => rowHash(lines[lineOfRow(row) - 1]!, form));
      const threads = [100, 200, 300].map(
        (time, at) => `  - id: n${time}\n    time: ${time}\n    row: "${hashes[at]!}"\n`,
      );
      writeFileSync(join(folder, 'edited.strain.csv.notes.yaml'), `notes: 1\nthreads:\n${threads.join('')}`);
      const edited = lines.filter((_, at) => at !== lineOfRow(300) - 1);
      edited[lineOfRow(200) - 1] = edited[lineOfRow(200) - 1]!.replace(/\d$/, (digit) =>
        String((Number(digit) + 1) % 10),
      );
      edited.splice(lineOfRow(50), 0, '50.5,1,');
      writeFileSync(join(folder, 'edited.strain.csv'), edited.join('\n'));
      const { out } = await run(['check', 'edited.strain.csv'], { cwd: folder });
      assert.ok(!out.includes('n100'), 'found again one line further down');
      assert.match(
        out,
        new RegExp(`:${lineOfRow(200) + 1}:1: info: Note n200 .*reads otherwise now.* \\[notes-line-changed\\]`),
      );
      assert.match(out, /info: Note n300 has lost its place: .* \[notes-line-lost\]/);
    });

    it('tells a broken notes file with its place and leaves it alone', async () => {
      const text = 'notes: 1\nthreads:\n<<<<<<< HEAD\n  - id: a\n=======\n>>>>>>> other\n';
      writeFileSync(join(folder, 'quiet.strain.csv.notes.yaml'), text);
      const { code, out } = await run(['check', 'quiet.strain.csv'], { cwd: folder });
      assert.equal(code, 1);
      assert.match(out, /^quiet\.strain\.csv\.notes\.yaml:3:1: error: .* \[notes-conflict\]$/m);
      assert.equal(readFileSync(join(folder, 'quiet.strain.csv.notes.yaml'), 'utf8'), text);
    });
  });

  describe('with wrong usage or unreadable logs leaves with 2 and', () => {
    const cases: readonly (readonly [string, readonly string[], RegExp])[] = [
      ['names a missing log', ['check', 'gone.strain.csv'], /there is no file 'gone\.strain\.csv'/],
      ['names a pattern that matches nothing', ['check', 'x*.csv'], /no file matches the pattern 'x\*\.csv'/],
      ['takes no empty name for the working folder', ['check', ''], /'' names no log; is a variable empty\?/],
      ['names a folder without logs', ['check', 'empty'], /no \*\.strain\.csv below the folder 'empty'/],
      ['asks for a log', ['check'], /name at least one log/],
      [
        'names the formats',
        ['check', '--format', 'xml', 'quiet.strain.csv'],
        /--format knows text, json, .*; got 'xml'/,
      ],
      ['names the levels', ['check', '--fail-on', 'all', 'quiet.strain.csv'], /--fail-on knows error, warning, never/],
      ['names an option it does not know', ['check', '--quick', 'quiet.strain.csv'], /--quick/],
      [
        'wants a number of hours',
        ['check', '--false-alarm-budget', 'none', 'quiet.strain.csv'],
        /a number above 0 in h, got 'none'/,
      ],
      [
        'names the kinds',
        ['check', '--mute', 'bang', 'quiet.strain.csv'],
        /no event kind 'bang'; the kinds are release, crack/,
      ],
      ['wants the datum the right way round', ['check', '--datum', '60:10', 'quiet.strain.csv'], /the second later/],
      ['wants a name for a series', ['check', '--derive', '2+2', 'quiet.strain.csv'], /NAME=EXPRESSION/],
      [
        'names a folder that output cannot go to',
        ['check', '-o', 'no/where.txt', 'quiet.strain.csv'],
        /'.*no\/where\.txt' could not be written: its folder does not exist/,
      ],
      ['names the commands', ['chekc'], /no command 'chekc'/],
      [
        'tells a revision it does not know',
        ['check', '--against', 'v1', 'quiet.strain.csv'],
        /lies in no git repository/,
      ],
    ];
    for (const [title, argv, message] of cases) {
      it(title, async () => {
        mkdirSync(join(folder, 'empty'), { recursive: true });
        const { code, err, out } = await run(argv, { cwd: folder });
        assert.equal(code, 2);
        assert.match(err, message);
        assert.equal(out, '');
      });
    }

    it('still tells of the logs that can be read', async () => {
      const refused = Object.assign(new Error('EACCES: permission denied'), { code: 'EACCES' });
      const command = makeCheckCommand((path, options) =>
        path.endsWith('odd.strain.csv') ? Promise.reject(refused) : analyseFile(path, options),
      );
      const { code, out } = await runOne(command, ['odd.strain.csv', 'quiet.strain.csv'], { cwd: folder });
      assert.equal(code, 2);
      assert.match(out, /^odd\.strain\.csv: cannot be read: .*permissions/m);
      assert.match(out, /^quiet\.strain\.csv: 900 rows/m);
    });

    it('tells what cannot be reached from what is not there', async () => {
      const loop = join(folder, 'loop.strain.csv');
      symlinkSync(loop, loop);
      const { code, err } = await run(['check', 'loop.strain.csv'], { cwd: folder });
      rmSync(loop);
      assert.equal(code, 2);
      assert.match(err, /'loop\.strain\.csv' cannot be reached: ELOOP/);
    });

    it('tells the findings before it says that the job summary cannot be written', async () => {
      const env = { GITHUB_STEP_SUMMARY: join(folder, 'no/where.md') };
      const argv = ['--format', 'github', 'step.strain.csv'];
      const { code, out, err } = await run(['check', ...argv], { cwd: folder, env });
      assert.equal(code, 2);
      assert.match(out, /^::error file=step\.strain\.csv/m);
      assert.match(err, /job summary '.*where\.md' \(GITHUB_STEP_SUMMARY\) could not be written: its folder does not/);
      await assert.rejects(runOne(makeCheckCommand(analyseFile), argv, { cwd: folder, env }), InputError);
    });

    it('does not wait for a pipe', async () => {
      execFileSync('mkfifo', [join(folder, 'pipe')]);
      const { code, err } = await run(['check', 'pipe'], { cwd: folder });
      assert.equal(code, 2);
      assert.match(err, /'pipe' is no file/);
      writeFileSync(join(folder, 'piped.strain.csv'), plateLog());
      for (const ending of ['.notes.yaml', '.header.yaml']) {
        const beside = join(folder, `piped.strain.csv${ending}`);
        execFileSync('mkfifo', [beside]);
        const { code: refused, out, err: said } = await run(['check', 'piped.strain.csv'], { cwd: folder });
        rmSync(beside);
        assert.equal(refused, 2);
        assert.match(out + said, new RegExp(`piped\\.strain\\.csv\\${ending}'.* be read: it is no regular file`));
      }
      rmSync(join(folder, 'piped.strain.csv'));
    });
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

  const foreign: readonly (readonly [what: string, content: string | Uint8Array])[] = [
    ['an empty file', ''],
    ['a binary file', Uint8Array.from({ length: 5000 }, (_, i) => (i * 37) % 256)],
    ['UTF-16', new Uint8Array(Buffer.from(plateLog(), 'utf16le'))],
    ['another table', 'time,a\n0,1\n'],
    ['lines with CR alone', plateLog().replaceAll('\n', '\r')],
  ];
  for (const [what, content] of foreign) {
    it(`leaves with 2 for ${what}, which is no log, and tells why`, async () => {
      writeFileSync(join(folder, 'foreign.strain.csv'), content);
      for (const failOn of ['error', 'never']) {
        const argv = ['check', '--fail-on', failOn, 'foreign.strain.csv'];
        const { code, out } = await run(argv, { cwd: folder });
        assert.equal(code, 2);
        assert.match(out, /^foreign\.strain\.csv:1:1: error: /m);
      }
    });
  }

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
