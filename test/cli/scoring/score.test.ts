// `underplate score` as a command, by truth and by verdicts.
import assert from 'node:assert/strict';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

// plateLog: a step of 60 um/m at B1 (cell 1, at 100, 40 mm) in row 600, one row a second, 900 rows.
const truth = `truth: 1
events:
- nature: mechanical
  kind: crack
  time_s: 600
  origin_mm: [100, 40]
  size_microstrain: 60
  size_sigmas: 60
  cells:
  - {cell: B1, plane: up, change_microstrain: [60, 20, 30]}
`;

interface TruthScore {
  readonly schema: string;
  readonly truth: {
    readonly hours: number;
    readonly events: number;
    readonly false_mechanical: number;
    readonly recall_lasting: readonly { from_sigmas: number; found: number; of: number }[];
    readonly median_delay_s: number | null;
    readonly median_delay_s_interval: { value: number | null; low: number | null; high: number | null };
    readonly median_place_error_mm_interval: { value: number | null; low: number | null; high: number | null };
  };
}

describe('underplate score', () => {
  let folder = '';
  before(() => {
    folder = folderWith({
      'step.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }),
      'quiet.strain.csv': plateLog(),
      'step.yaml': truth,
      'nothing.yaml': 'truth: 1\nevents: []\n',
      'wrong.yaml': truth.replace('kind: crack', 'sort: crack'),
    });
  });
  after(() => removeFolder(folder));
  const score = (...argv: string[]) => run(['score', ...argv], { cwd: folder });

  it('finds what truly happened, soon and without a false alarm', async () => {
    const { code, out } = await score('step.strain.csv', '--truth', 'step.yaml', '--format', 'json');
    assert.equal(code, 0);
    const read = JSON.parse(out) as TruthScore;
    assert.equal(read.schema, 'underplate-score/1');
    assert.deepEqual(
      read.truth.recall_lasting.map(({ found, of }) => [found, of]),
      [
        [0, 0],
        [0, 0],
        [0, 0],
        [1, 1],
      ],
    );
    assert.equal(read.truth.false_mechanical, 0);
    assert.ok(read.truth.median_delay_s !== null && read.truth.median_delay_s <= 10);
    assert.ok(Math.abs(read.truth.hours - 899 / 3600) < 1e-9);
  });

  it('counts as false what a truth without events does not know', async () => {
    const { out } = await score('step.strain.csv', '--truth', 'nothing.yaml', '--format', 'json');
    assert.equal((JSON.parse(out) as TruthScore).truth.false_mechanical >= 1, true);
  });

  it('sums over logs, each with its truth in their order', async () => {
    const { out } = await score(
      'quiet.strain.csv',
      'step.strain.csv',
      '--truth',
      'nothing.yaml',
      '--truth',
      'step.yaml',
    );
    assert.match(out, /Against the truth: 1 true event in 0\.50 h/);
    assert.match(out, /12 sigma and more +1 of 1, 100\.0 % \[20\.7 to 100\.0\]/);
    assert.match(out, /median delay of mechanical events +[\d.]+ s \[too few for an interval\]/);
  });

  it('gives medians with their interval once there are six', async () => {
    // Seven logs of one break, whose truths set it 0 to 3 s earlier: the delays differ by just that.
    const names = [0, 1, 2, 3, 4, 5, 6].flatMap((at) => {
      writeFileSync(join(folder, `at${at}.yaml`), truth.replace('time_s: 600', `time_s: ${600 - at / 2}`));
      writeFileSync(join(folder, `at${at}.strain.csv`), plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }));
      return [`at${at}.strain.csv`, '--truth', `at${at}.yaml`];
    });
    const { out } = await score(...names, '--format', 'json');
    const { truth: read } = JSON.parse(out) as TruthScore;
    const { value, low, high } = read.median_delay_s_interval;
    assert.equal(read.median_delay_s, value);
    assert.ok(Math.abs(high! - low! - 3) < 1e-6, 'seven values: from the least to the greatest');
    assert.ok(Math.abs(value! - low! - 1.5) < 1e-6);
    assert.equal(read.median_place_error_mm_interval.low, read.median_place_error_mm_interval.high);
    assert.match(
      (await score(...names)).out,
      /median place error +[\d.]+ mm \[[\d.]+ to [\d.]+\], [\d.]+ cell pitches \[/,
    );
  });

  it('scores by the verdicts in the notes, with what people alone saw', async () => {
    const checked = await run(['check', 'step.strain.csv', '--format', 'json', '--fail-on', 'never'], { cwd: folder });
    const [log] = (JSON.parse(checked.out) as { logs: { events: { id: string; time_s: number; nature: string }[] }[] })
      .logs;
    const event = log!.events.find(({ nature }) => nature === 'mechanical')!;
    writeFileSync(
      join(folder, 'step.strain.csv.notes.yaml'),
      `notes: 1
log: step.strain.csv
threads:
- id: a1
  time: ${event.time_s}
  event: ${event.id}
  verdict: confirmed
- id: a2
  time: 120
  verdict: confirmed
`,
    );
    const { code, out, err } = await score('step.strain.csv', '--format', 'json');
    assert.equal(code, 0, err);
    const { verdicts } = JSON.parse(out) as {
      verdicts: { confirmed: number; false_alarms: number; seen_by_people_only: number; told: { value: number } };
    };
    assert.deepEqual([verdicts.confirmed, verdicts.false_alarms, verdicts.seen_by_people_only], [1, 0, 1]);
    assert.equal(verdicts.told.value, 0.5);
    assert.match((await score('step.strain.csv')).out, /events confirmed +1 /);
  });

  it('refuses notes that cannot be read, with their place', async () => {
    for (const [notes, place] of [
      ['a: [}\n', /notes\.yaml:1:\d+: error: .*\[notes-syntax\]/],
      [
        'notes: 1\nthreads:\n- {id: a, time: 1, verdict: maybe}\n',
        /notes\.yaml:3:\d+: error: .*confirmed, false-alarm/,
      ],
      ['hello\n', /notes\.yaml:1:\d+: error: the file must be a set of keys with values: notes, /],
    ] as const) {
      writeFileSync(join(folder, 'quiet.strain.csv.notes.yaml'), notes);
      const { code, out, err } = await score('quiet.strain.csv');
      assert.deepEqual([code, out], [2, '']);
      assert.match(err, place);
      assert.doesNotMatch(err, /Expected|received/);
      assert.equal((await score('quiet.strain.csv', '--truth', 'nothing.yaml')).code, 0, 'the truth needs no notes');
    }
    rmSync(join(folder, 'quiet.strain.csv.notes.yaml'));
  });

  it('refuses wrong use and says what to do', async () => {
    for (const [argv, message] of [
      [[], /name at least one log/],
      [['quiet.strain.csv'], /no log has notes beside it; give --truth/],
      [['quiet.strain.csv', 'step.strain.csv', '--truth', 'step.yaml'], /2 logs, but 1 --truth file;/],
      [['step.strain.csv', '--truth', 'wrong.yaml'], /wrong\.yaml:\d+:\d+: events\.0\./],
      [['step.strain.csv', '--truth', 'quiet.strain.csv'], /quiet\.strain\.csv:\d+:\d+: truth: a set of keys.{0,99}$/m],
      [['step.strain.csv', '--truth', 'absent.yaml'], /'absent\.yaml' could not be read/],
      [['step.strain.csv', '--truth', 'step.yaml', '--format', 'xml'], /--format knows text, json/],
    ] as const) {
      const { code, err } = await score(...argv);
      assert.equal(code, 2, argv.join(' '));
      assert.match(err, message);
    }
    assert.equal(readFileSync(join(folder, 'step.yaml'), 'utf8'), truth);
  });
});
