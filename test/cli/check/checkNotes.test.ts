import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { rowHash } from '../../../src/core/notes/anchor.ts';
import { lineOfRow, plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';
import { checkedJson } from '../checkedJson.ts';

describe('underplate check, with notes beside the log', function () {
  this.timeout(120_000);
  let folder = '';
  before(() => {
    folder = folderWith({
      'quiet.strain.csv': plateLog(),
      'step.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }),
    });
  });
  after(() => removeFolder(folder));

  const verdict = (event: string, value: string): string =>
    `notes: 1\nthreads:\n  - id: a\n    time: 600\n    cell: B1\n    event: ${event}\n    verdict: ${value}\n    cause: door opened\n`;

  async function judged(value: string): Promise<{ code: number; out: string }> {
    const [log] = await checkedJson(folder, 'step.strain.csv');
    const id = log!.events.find(({ nature }) => nature === 'mechanical')!.id;
    writeFileSync(join(folder, 'step.strain.csv.notes.yaml'), verdict(JSON.stringify(id), value));
    return run(['check', 'step.strain.csv'], { cwd: folder });
  }

  it('shows an event judged false-alarm but does not fail on it', async () => {
    const { code, out } = await judged('false-alarm');
    assert.equal(code, 0);
    assert.match(out, /\(judged false alarm: door opened\) \[/);
    assert.match(out, /1 event judged false alarm/);
    const [log] = await checkedJson(folder, 'step.strain.csv');
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
