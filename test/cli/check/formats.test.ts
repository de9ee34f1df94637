import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import addFormats from 'ajv-formats';
import type { CheckedLog } from '../../../src/cli/checkLogs.ts';
import { formatGithub } from '../../../src/cli/check/formatGithub.ts';
import { formatMarkdown } from '../../../src/cli/check/formatMarkdown.ts';
import { formatSarif } from '../../../src/cli/check/formatSarif.ts';
import { formatText } from '../../../src/cli/formatText.ts';
import { emptyNotes } from '../../../src/core/notes/notes.ts';
import type { Problem, Severity } from '../../../src/core/problem.ts';
import { lineOfRow, plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

const cwd = '/logs';

/** A checked log with nothing but problems. */
function checked(problems: readonly Problem[], change: Partial<CheckedLog> = {}): CheckedLog {
  const notes = { notes: emptyNotes('', ''), problems: [], writable: true, path: `${cwd}/a.notes.yaml`, exists: false };
  const analysis = { summary: { rows: 3, startS: 0, endS: 2 } } as unknown as CheckedLog['analysis'];
  const base = {
    path: `${cwd}/a b.csv`,
    shown: 'a b.csv',
    failure: '',
    analysis,
    header: undefined,
    events: [],
    before: undefined,
  };
  return { ...base, notes, problems, ...change };
}

function problem(severity: Severity, line: number, message = `fault in line ${line}`): Problem {
  return { range: { line, column: 3, endLine: line, endColumn: 7 }, severity, code: 'row-short', message };
}

interface SarifLog {
  readonly runs: readonly {
    readonly results: readonly {
      readonly level: string;
      readonly ruleId: string;
      readonly partialFingerprints: Readonly<Record<string, string>>;
      readonly suppressions?: readonly unknown[];
      readonly locations: readonly {
        readonly physicalLocation: {
          readonly artifactLocation: { readonly uri: string };
          readonly region: { readonly startLine: number };
        };
      }[];
    }[];
    readonly invocations: readonly { readonly toolExecutionNotifications?: readonly { message: { text: string } }[] }[];
  }[];
}

describe('SARIF', function () {
  this.timeout(120_000);
  // The schema as Microsoft's test package for SARIF carries it: 2.1.0, rtm.5. Of draft 4 it uses nothing that later
  // drafts read otherwise, but for the names of its own address and draft, which are left out.
  const schema = JSON.parse(
    readFileSync(
      createRequire(import.meta.url).resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'),
      'utf8',
    ),
  ) as Record<string, unknown>;
  const ajv = new Ajv({ strict: false, unicodeRegExp: false });
  addFormats.default(ajv);
  delete schema['id'];
  delete schema['$schema'];
  const validate = ajv.compile(schema);
  let folder = '';
  before(() => {
    folder = folderWith({
      'step.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }], instead: { 700: '700.0,23,1' } }),
    });
  });
  after(() => removeFolder(folder));

  function valid(text: string): SarifLog {
    const log = JSON.parse(text) as SarifLog;
    assert.ok(validate(log), JSON.stringify(validate.errors?.slice(0, 5)));
    return log;
  }

  async function sarifOf(): Promise<SarifLog> {
    return valid((await run(['check', '--format', 'sarif', 'step.strain.csv'], { cwd: folder })).out);
  }

  it('of a real log is valid and points at the lines', async () => {
    const { results } = (await sarifOf()).runs[0]!;
    const lines = results.map(({ locations }) => locations[0]!.physicalLocation.region.startLine);
    assert.ok(lines.includes(lineOfRow(700)));
    assert.ok(lines.some((line) => Math.abs(line - lineOfRow(600)) <= 2));
    assert.equal(results[0]?.level, 'error');
    assert.equal(results[0].locations[0]?.physicalLocation.artifactLocation.uri, 'step.strain.csv');
  });

  it('keeps its fingerprints when lines are inserted above', async () => {
    const prints = async (): Promise<string[]> =>
      (await sarifOf()).runs[0]!.results.map(
        ({ partialFingerprints }) => partialFingerprints['underplateFinding/v1']!,
      ).sort();
    const before = await prints();
    const lines = readFileSync(join(folder, 'step.strain.csv'), 'utf8').replace(
      '# meta:',
      '# # a comment\n# # and another\n# meta:',
    );
    writeFileSync(join(folder, 'step.strain.csv'), lines);
    assert.deepEqual(await prints(), before);
    assert.equal(new Set(before).size, before.length);
  });

  it('of nothing found, of unreadable logs and of odd paths is valid', () => {
    assert.deepEqual(valid(formatSarif([checked([])], cwd)).runs[0]?.results, []);
    const unread = valid(formatSarif([checked([], { failure: 'no permission', analysis: undefined })], cwd));
    assert.match(
      unread.runs[0]!.invocations[0]!.toolExecutionNotifications![0]!.message.text,
      /cannot be read: no permission/,
    );
    const [result] = valid(formatSarif([checked([problem('error', 4)], { shown: 'ä/100 %.csv' })], cwd)).runs[0]!
      .results;
    assert.equal(result?.locations[0]?.physicalLocation.artifactLocation.uri, '%C3%A4/100%20%25.csv');
  });

  it('stays within what a host takes, the worst first and the rest counted', () => {
    const problems = Array.from({ length: 25_100 }, (_, at) => problem(at < 25_000 ? 'information' : 'error', at + 1));
    const run = valid(formatSarif([checked(problems)], cwd)).runs[0]!;
    assert.equal(run.results.length, 25_000);
    assert.equal(run.results.filter(({ level }) => level === 'error').length, 100);
    assert.match(run.invocations[0]!.toolExecutionNotifications![0]!.message.text, /^100 further findings/);
  }).timeout(240_000);
});

describe('text', () => {
  it('hands no control character of a log to the terminal, nor in what stops a command', async () => {
    const evil = 'br\\e]0;owned\\a\\e[31m\\N';
    const folder = folderWith({
      'a.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }).replace(/bracket:/g, `"${evil}":`),
    });
    const { out, err } = await run(['check', 'a.strain.csv'], { cwd: folder });
    const follow = await run(['follow', 'a.strain.csv', '--from-start', '--idle', '1'], { cwd: folder });
    removeFolder(folder);
    for (const text of [out, err, follow.out, follow.err]) assert.doesNotMatch(text, /(?!\n)\p{Cc}/u);
    for (const text of [out, follow.out]) assert.ok(text.includes('br\\x1b]0;owned\\x07\\x1b[31m\\x85'), text);
    const odd = checked([], { shown: 'a\u001b[2J.csv', failure: 'it is \u009b31m' });
    assert.doesNotMatch(formatText([odd], { cwd, colour: false }), /(?!\n)\p{Cc}/u);
  });
});

describe('workflow commands', () => {
  const commandsOf = (text: string): string[] =>
    text.split('\n').filter((line) => line.startsWith('::') && !/^::(end)?group/.test(line));

  it('name file, line and columns, with their own signs escaped', () => {
    const [line] = commandsOf(
      formatGithub([checked([problem('error', 4, 'a, b: 100 %\nnext')], { shown: 'a,b:c.csv' })], cwd),
    );
    assert.equal(
      line,
      '::error file=a%2Cb%3Ac.csv,line=4,col=3,endColumn=7,title=underplate%3A row-short::a, b: 100 %25%0Anext',
    );
  });

  it('are at most ten of a level, the last counting the rest', () => {
    const problems = (['error', 'warning', 'information'] as const).flatMap((severity) =>
      Array.from({ length: 30 }, (_, at) => problem(severity, at + 1)),
    );
    const lines = commandsOf(formatGithub([checked(problems)], cwd));
    for (const name of ['error', 'warning', 'notice']) {
      const ofLevel = lines.filter((line) => line.startsWith(`::${name} `) || line.startsWith(`::${name}::`));
      assert.equal(ofLevel.length, 10);
      assert.equal(ofLevel[9], `::${name}::21 more findings of this level; see the step's log.`);
    }
    assert.ok(lines.length <= 50);
  });

  it('show exactly ten where there are ten, and tell unreadable logs first', () => {
    const ten = Array.from({ length: 10 }, (_, at) => problem('error', at + 1));
    const full = commandsOf(formatGithub([checked(ten)], cwd));
    assert.ok(full.length === 10 && full.every((line) => !line.includes('more findings')));
    const unread = Array.from({ length: 12 }, () => checked([], { failure: 'gone', analysis: undefined }));
    const mixed = commandsOf(formatGithub([...unread, checked(ten)], cwd));
    assert.ok(mixed.length <= 10 && mixed[0]!.includes('gone'));
    assert.match(mixed.at(-1)!, /more findings/);
  });

  it("cannot be slipped in by a log's own words", () => {
    const text = formatGithub([checked([problem('error', 1, 'x')], { shown: '::add-mask::secret' })], cwd);
    assert.deepEqual(
      text.split('\n').filter((line) => /^\s*::(add-mask|set-)/.test(line)),
      [],
    );
  });
});

describe('Markdown', function () {
  this.timeout(120_000);
  let folder = '';
  before(() => {
    folder = folderWith({ 'step.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }) });
  });
  after(() => removeFolder(folder));

  it('draws the gravest events inline, in one block of HTML each, without script or anything from afar', async () => {
    const { out } = await run(['check', '--format', 'markdown', 'step.strain.csv'], { cwd: folder });
    const blocks = out.match(/<div>\n[\s\S]*?\n<\/div>/g) ?? [];
    assert.equal(blocks.length, 1);
    assert.equal((blocks[0]!.match(/<svg /g) ?? []).length, 2);
    assert.ok(!blocks[0]!.includes('\n\n'), 'a blank line would end the block');
    const addresses = (out.match(/https?:\/\/[^"\s)]+/g) ?? []).filter((one) => one !== 'http://www.w3.org/2000/svg');
    assert.deepEqual(addresses, []);
    assert.ok(!/<script|NaN|Infinity|undefined/.test(out));
  });

  it("goes to a job's summary without SVG, which that host strips", async () => {
    writeFileSync(join(folder, 'summary.md'), 'before\n');
    const env = { GITHUB_STEP_SUMMARY: join(folder, 'summary.md') };
    const { code } = await run(['check', '--format', 'github', 'step.strain.csv'], { cwd: folder, env });
    assert.equal(code, 1);
    const summary = readFileSync(env.GITHUB_STEP_SUMMARY, 'utf8');
    assert.ok(summary.startsWith('before\n## step.strain.csv\n'));
    assert.ok(!summary.includes('<svg'));
    // The larger principal strain steps up by 50 um/m and more: low before, high after.
    assert.match(summary, /\| B1\\_up\\_e1 \| `[▁▂]{15,}[▃-▇]?[▇█]{15,}` \|/);
  });

  it('takes the words of a log for words', async () => {
    const nasty = problem('error', 1, '<img src=x> [a](javascript:b) | `c` *d* @team #1');
    const text = await formatMarkdown([checked([nasty])], { cwd, pictures: 'signs' });
    const row = text.split('\n').find((line) => line.includes('img'))!;
    assert.ok(!/<img|[^\\]\]\(|[^\\]\*d|@team|[^\\]#1/.test(row), row);
    assert.equal(row.replace(/\\\|/g, '').split('|').length, 6);
  });

  it('makes no link of an address in the words of a log', async () => {
    // What GitHub Flavored Markdown links by itself: www., http://, https://, ftp:// and electronic mail (6.9, autolinks).
    const addresses = ['www.e.example', 'WWW.e.example', 'http://e.example', 'https://e.example/x', 'ftp://e.example'];
    for (const address of [...addresses, 'a.b@e.example', 'mailto:a@e.example', 'https:///e.example']) {
      const text = await formatMarkdown([checked([problem('error', 1, `under ${address} here`)])], {
        cwd,
        pictures: 'signs',
      });
      assert.ok(!/www\.|\/\/|\w@\w/i.test(text), text);
    }
  });

  it('stays short: rows beyond sixty are counted', async () => {
    const problems = Array.from({ length: 500 }, (_, at) => problem('warning', at + 1));
    const text = await formatMarkdown([checked(problems)], { cwd, pictures: 'signs' });
    assert.match(text, /… and 440 further findings\./);
    assert.ok(text.length < 20_000);
  });

  it('of very many logs stays within the size a summary may have', async () => {
    const problems = Array.from({ length: 60 }, (_, at) => problem('warning', at + 1, 'x'.repeat(300)));
    const logs = Array.from({ length: 100 }, () => checked(problems));
    const text = await formatMarkdown(logs, { cwd, pictures: 'signs' });
    assert.ok(Buffer.byteLength(text) < 1024 * 1024);
    assert.match(text, /… and \d+ further logs/);
  });
});
