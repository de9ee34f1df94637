import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { appendFileSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import { lineOfRow, plateLog } from './plateLog.ts';
import { folderWith, removeFolder } from './runCommand.ts';

interface Workflow {
  readonly defaults: { readonly run: { readonly shell: string } };
  readonly jobs: Readonly<Record<string, { readonly steps: readonly { name?: string; run?: string; if?: string }[] }>>;
}

const root = fileURLToPath(new URL('../../', import.meta.url));
const workflow = parse(readFileSync(join(root, 'sample-logs', 'review-strain-logs.yml'), 'utf8')) as Workflow;

describe('the workflow that reviews logs in pull requests', function () {
  this.timeout(120_000);
  let folder = '';
  let repository = '';
  const git = (...args: string[]): string =>
    execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...args], {
      cwd: repository,
      encoding: 'utf8',
    });
  const oldStep = { at: 400, cell: 6, size: 60 } as const;
  const newStep = { at: 700, cell: 1, size: 60 } as const;

  beforeEach(() => {
    folder = folderWith({});
    repository = join(folder, 'repository');
    for (const name of ['repository', 'bin', 'temp']) mkdirSync(join(folder, name));
    // Fetching and bundling Underplate is what every other test of the bundles does; here this tree takes its place.
    const command = `#!/bin/sh\nexec node --import '${join(root, 'node_modules/tsx/dist/esm/index.mjs')}' '${join(root, 'src/cli/main.ts')}' "$@"\n`;
    writeFileSync(join(folder, 'bin', 'underplate'), command, { mode: 0o755 });
    git('init', '-q', '-b', 'main');
    writeFileSync(join(repository, 'tray 3.strain.csv'), plateLog({ steps: [oldStep] }));
    writeFileSync(join(repository, 'other.strain.csv'), plateLog({ steps: [oldStep], seed: 2 }));
    git('add', '-A');
    git('commit', '-q', '-m', 'first');
    git('update-ref', 'refs/remotes/origin/main', 'HEAD');
    git('checkout', '-q', '-b', 'change');
  });
  afterEach(() => removeFolder(folder));

  function commit(files: Readonly<Record<string, string>>): void {
    for (const [name, text] of Object.entries(files)) {
      mkdirSync(dirname(join(repository, name)), { recursive: true });
      writeFileSync(join(repository, name), text);
    }
    git('add', '-A');
    git('commit', '-q', '-m', 'change');
  }

  /** Runs the steps as the host does: one shell each, stopping at the first that fails but for those that always run. */
  function runSteps(): { failed: string[]; out: string; told: string; summary: string; reports: string[] } {
    const temp = join(folder, 'temp');
    const files = {
      GITHUB_ENV: join(temp, 'env'),
      GITHUB_STEP_SUMMARY: join(temp, 'summary'),
      GITHUB_PATH: join(temp, 'path'),
    };
    for (const file of Object.values(files)) appendFileSync(file, '');
    const failed: string[] = [];
    let [out, told] = ['', ''];
    assert.equal(workflow.defaults.run.shell, 'bash');
    for (const step of workflow.jobs['check']!.steps) {
      if (step.run === undefined || step.name === 'Get Underplate') continue;
      if (failed.length > 0 && step.if !== 'always()') continue;
      const settings = readFileSync(files.GITHUB_ENV, 'utf8')
        .split('\n')
        .filter((line) => line.includes('='));
      const env = {
        ...process.env,
        ...files,
        ...Object.fromEntries(
          settings.map((line) => [line.slice(0, line.indexOf('=')), line.slice(line.indexOf('=') + 1)]),
        ),
        PATH: `${join(folder, 'bin')}:${process.env['PATH'] ?? ''}`,
        GITHUB_BASE_REF: 'main',
        RUNNER_TEMP: temp,
      };
      const ran = spawnSync('bash', ['--noprofile', '--norc', '-eo', 'pipefail', '-c', step.run], {
        cwd: repository,
        env,
        encoding: 'utf8',
      });
      out += ran.stdout;
      told += ran.stderr;
      if (ran.status !== 0) failed.push(step.name ?? '');
    }
    return {
      failed,
      out,
      told,
      summary: readFileSync(files.GITHUB_STEP_SUMMARY, 'utf8'),
      reports: readdirSync(join(temp, 'reports')),
    };
  }

  it('fails on a new break, marks its line and nothing old, and keeps a report', () => {
    commit({ 'tray 3.strain.csv': plateLog({ steps: [oldStep, newStep] }) });
    const { failed, out, told, summary, reports } = runSteps();
    assert.equal(told, '');
    assert.deepEqual(failed, ['Check what is new in them']);
    const errors = out.split('\n').filter((line) => line.startsWith('::error '));
    assert.equal(errors.length, 1);
    const [, line] = /^::error file=tray 3\.strain\.csv,line=(\d+),/.exec(errors[0]!) ?? [];
    assert.ok(Math.abs(Number(line) - lineOfRow(newStep.at)) <= 2, errors[0]);
    assert.match(summary, /^## tray 3\.strain\.csv$/m);
    assert.ok(!`${out}${summary}`.includes('other.strain.csv'));
    assert.deepEqual(reports, ['tray 3.strain.csv.html']);
  });

  it('passes once the notes judge it a false alarm', () => {
    commit({
      'tray 3.strain.csv': plateLog({ steps: [oldStep, newStep] }),
      'tray 3.strain.csv.notes.yaml':
        'notes: 1\nthreads:\n  - id: a\n    time: 700\n    cell: B1\n    event: seen live\n    verdict: false-alarm\n    cause: plate knocked\n',
    });
    const { failed, out, told } = runSteps();
    assert.deepEqual([failed, told], [[], '']);
    assert.match(out, /judged false alarm: plate knocked/);
  });

  it('takes in tables with a header beside them, and logs of one name in two folders', () => {
    const sample = join(root, 'sample-logs', 'foreign-table.csv');
    const header = readFileSync(`${sample}.header.yaml`, 'utf8');
    commit({
      'one/a.strain.csv': plateLog({ seed: 4 }),
      'two/a.strain.csv': plateLog({ seed: 5 }),
      'table.csv': readFileSync(sample, 'utf8'),
      'table.csv.header.yaml': header.replace('build:', 'bild:'),
      'list.csv': 'a,b\n1,2\n',
      'lone.csv.header.yaml': header,
    });
    rmSync(join(repository, 'other.strain.csv'));
    commit({});
    const { failed, out, told, reports } = runSteps();
    assert.equal(told, '');
    assert.match(out, /^::\w+ file=table\.csv\.header\.yaml,line=3,.*bild/m);
    assert.deepEqual(reports, ['one_a.strain.csv.html', 'table.csv.html', 'two_a.strain.csv.html']);
    assert.deepEqual(failed, []);
  });

  it('passes where no log changed', () => {
    commit({ 'readme.txt': 'x' });
    const { failed, out, told, reports } = runSteps();
    assert.deepEqual([failed, out, told, reports], [[], '', '', []]);
  });

  it('reports every log, though one before it cannot be read', () => {
    commit({ 'a.strain.csv': '', 'tray 3.strain.csv': plateLog({ steps: [oldStep], seed: 3 }) });
    const { failed, reports } = runSteps();
    assert.deepEqual(failed, ['Check what is new in them', 'Write a report of each']);
    assert.deepEqual(reports, ['a.strain.csv.html', 'tray 3.strain.csv.html']);
  });
});
