import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import type { Notes } from '../../src/core/notes/notes.ts';
import type { NoteComment } from '../../src/extension/noteThreads.ts';
import { addRemark, addThread, removeRemark, threadId } from '../../src/core/notes/editNotes.ts';
import { formatNotes } from '../../src/core/notes/formatNotes.ts';
import { emptyNotes } from '../../src/core/notes/notes.ts';
import { parseNotes } from '../../src/core/notes/parseNotes.ts';
import { anchorAt } from '../../src/worker/noteAnchors.ts';
import { sampleText } from '../workbench/sample.ts';
import { Analysis, starts } from '../support/editor/analyses.ts';
import { forgetTexts, readText, until } from '../support/editor/readText.ts';
import { TextDocument, desk } from '../support/editor/desk.ts';
import { CommentMode, MarkdownString, Uri, window } from '../support/editor/standIn.ts';
import type { CommentThread } from '../support/editor/desk.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { NoteBooks } = await import('../../src/extension/noteBooks.ts');
const { NoteThreads } = await import('../../src/extension/noteThreads.ts');
const { NoteCommands } = await import('../../src/extension/noteCommands.ts');

const path = '/w/a.strain.csv';
const uri = Uri.file(path);
const notesPath = `${path}.notes.yaml`;
const lines = sampleText('release.strain.csv').split('\n').slice(0, 400);
const firstRow = lines.findIndex((line) => !line.startsWith('#')) + 1;
const noted = firstRow + 50; // index of the row with the note; its line is one more

/** Notes with one thread on the row of `noted`, that has these remarks. */
async function notesOf(analysis: Analysis, ...remarks: string[]): Promise<Notes> {
  const reader = { summary: analysis.summary!, header: analysis.summary!.header!, calls: analysis.calls };
  const at = { anchor: (await anchorAt(noted + 1, reader))!, cell: '', event: '' };
  return remarks.reduce(
    (notes, text, index) =>
      addRemark(notes, threadId(at), { date: `2026-01-0${index + 1}T00:00:00Z`, by: 'R. Example', text }),
    addThread(emptyNotes('a.strain.csv', ''), at),
  );
}

describe('notes in the editor', () => {
  let parts: vscode.Disposable[] = [];
  /** The log whose view is in front. */
  let front: vscode.Uri | undefined;

  /** The log open in a tab and read, with a note of these remarks. */
  async function open(...remarks: string[]) {
    const analysis = await readText(lines.join('\n'));
    desk.write(notesPath, formatNotes(await notesOf(analysis, ...remarks)));
    desk.show(uri);
    const logs = new Logs({} as vscode.ExtensionContext);
    const books = new NoteBooks(logs);
    const threads = new NoteThreads(logs, books);
    parts = [logs, books, threads, new NoteCommands(logs, books, threads, () => front)];
    starts.at(-1)!.answer(analysis);
    await until(() => shown().length > 0);
    return { logs, books };
  }

  async function save(text: readonly string[], seen: () => boolean): Promise<void> {
    const before = starts.length;
    desk.saveText.fire(new TextDocument(uri, text.join('\n')));
    assert.equal(starts.length, before + 1);
    starts.at(-1)!.answer(await readText(text.join('\n')));
    await until(seen);
  }

  const shown = (): CommentThread[] => desk.threads.filter((thread) => !thread.disposed);
  const comments = (): NoteComment[] => shown()[0]!.comments as unknown as NoteComment[];
  const bodyOf = ({ body }: NoteComment): string => (body instanceof MarkdownString ? body.value : String(body));
  const stored = (): string => new TextDecoder().decode(desk.files.get(notesPath));

  beforeEach(() => {
    desk.clear();
    front = undefined;
  });
  afterEach(() => parts.forEach((part) => part.dispose()));
  after(forgetTexts);

  it('keep to their row when lines are put in above it', async () => {
    const { books } = await open('here');
    const marked = (): number => books.marks(uri as unknown as vscode.Uri)[0]!.line;
    assert.equal(marked(), noted + 1);
    const oneMore = [...lines.slice(0, 2), '# # a comment in the header', ...lines.slice(2)];
    await save(oneMore, () => marked() === noted + 2);
    const [row = ''] = oneMore.slice(firstRow + 10);
    const between = row.replace(/^[^,]+/, (timeS) => String(Number(timeS) + 0.01));
    await save([...oneMore.slice(0, firstRow + 11), between, ...oneMore.slice(firstRow + 11)], () => {
      return marked() === noted + 3;
    });
  });

  it('keep to their row when a longer log is put in the place of one that is followed', async () => {
    const { books } = await open('here');
    const marked = (): number => books.marks(uri as unknown as vscode.Uri)[0]!.line;
    const withComments = (count: number, rows: readonly string[]): string =>
      [...rows.slice(0, 2), ...Array.from({ length: count }, () => '# # a comment'), ...rows.slice(2)].join('\n');
    let now = await readText(withComments(1, lines));
    const followed = new Analysis(now.summary, {
      place: (request) => now.calls.place(request),
      excerpt: (request) => now.calls.excerpt(request),
    });
    desk.saveText.fire(new TextDocument(uri, ''));
    starts.at(-1)!.answer(followed);
    await until(() => marked() === noted + 2);
    now = await readText(withComments(2, sampleText('release.strain.csv').split('\n').slice(0, 420)));
    assert.ok(now.summary!.rows > followed.summary!.rows);
    followed.tell({ ...now.summary!, state: 'following', reading: followed.summary!.reading + 1 });
    await until(() => marked() === noted + 3);
  });

  it('are looked for once, and again when more is known of it, in a log that cannot be asked', async () => {
    const read = await readText(lines.join('\n'));
    desk.write(notesPath, formatNotes(await notesOf(read, 'here')));
    desk.show(uri);
    const logs = new Logs({} as vscode.ExtensionContext);
    parts = [logs, new NoteBooks(logs)];
    let asked = 0; // and answered after a hundred times, lest a fault hang the test
    const place = () => (++asked < 100 ? Promise.reject(new Error('out of memory')) : Promise.resolve(undefined));
    const dead = new Analysis(read.summary, { place });
    starts.at(-1)!.answer(dead);
    await until(() => asked > 0);
    await new Promise((done) => setTimeout(done, 20));
    assert.equal(asked, 1);
    dead.tell({ ...read.summary!, state: 'failed', failure: 'out of memory' });
    await until(() => asked > 1);
  });

  it('come back with a text that is closed and opened again while a view keeps its log', async () => {
    const { logs } = await open('here');
    const text = new TextDocument(uri, lines.join('\n'));
    desk.open(text);
    logs.keep(uri as unknown as vscode.Uri);
    desk.show();
    desk.close(text);
    assert.equal(shown().length, 0);
    desk.show(uri);
    desk.open(text);
    assert.equal(shown().length, 1);
  });

  it('load no picture, however its sign is written', async () => {
    for (const text of ['![x](https://a.example/p)', '\\![x](https://a.example/p)', '\\\\![x](https://a.example/p)']) {
      desk.clear();
      await open(text);
      // CommonMode: a picture begins with an exclamation mark that no odd number of backslashes stands before.
      assert.doesNotMatch(bodyOf(comments()[0]!), /(?<!\\)(?:\\\\)*!\[/);
      assert.doesNotMatch(bodyOf(comments()[0]!), /(?<!\\)(?:\\\\)*\\&/, 'the entity is an entity');
      parts.forEach((part) => part.dispose());
    }
  });

  it('are edited as they are stored, and stored as they were typed', async () => {
    await open('see ![x](y)');
    desk.commands.get('underplate.notes.edit')!(comments()[0]);
    assert.equal(bodyOf(comments()[0]!), 'see ![x](y)');
    comments()[0]!.body = 'see ![x](y) and z'; // the editor does this before it runs the command
    await desk.commands.get('underplate.notes.saveEdit')!(comments()[0]);
    assert.match(stored(), /see !\[x\]\(y\) and z/);
    assert.equal(comments()[0]!.mode, CommentMode.Preview);
    assert.match(bodyOf(comments()[0]!), /and z$/);
  });

  it('show what is stored after an edit is cancelled', async () => {
    await open('as it was');
    desk.commands.get('underplate.notes.edit')!(comments()[0]);
    comments()[0]!.body = 'discarded';
    desk.commands.get('underplate.notes.cancelEdit')!(comments()[0]);
    assert.equal(bodyOf(comments()[0]!), 'as it was');
    assert.equal(comments()[0]!.mode, CommentMode.Preview);
  });

  it('leave an edit alone while another remark comes to the thread', async () => {
    const { books } = await open('first', 'second');
    desk.commands.get('underplate.notes.edit')!(comments()[1]);
    const edited = comments()[1]!;
    const { thread } = books.placed(uri as unknown as vscode.Uri)[0]!;
    await books.change(uri as unknown as vscode.Uri, (notes) =>
      addRemark(notes, thread.id, { date: '2025-12-31T00:00:00Z', by: 'A. Nother', text: 'earlier' }),
    );
    await until(() => comments().length === 3);
    assert.equal(comments()[2], edited, 'the editor keeps what is typed with the object');
    edited.body = 'second, better';
    await desk.commands.get('underplate.notes.saveEdit')!(edited);
    await until(() => bodyOf(comments()[2]!) === 'second, better');
    assert.match(stored(), /first[^]*second, better/);
    assert.match(stored(), /earlier/);
  });

  /** Somebody else's remark, dated before all others, comes into the file; nobody has seen it yet. */
  function writtenMeanwhile(books: InstanceType<typeof NoteBooks>): void {
    const { thread } = books.placed(uri as unknown as vscode.Uri)[0]!;
    const theirs = { date: '2025-12-31T00:00:00Z', by: 'A. Nother', text: 'theirs' };
    const { notes } = parseNotes(stored());
    desk.write(notesPath, formatNotes(addRemark(notes, thread.id, theirs)));
  }
  const storedWords = (): string[] =>
    parseNotes(stored()).notes.threads.flatMap(({ remarks }) => remarks.map((r) => r.text));

  it('keep a remark that came into the file unseen, when one beside it is edited or deleted', async () => {
    const { books } = await open('first', 'second');
    desk.commands.get('underplate.notes.edit')!(comments()[0]);
    const edited = comments()[0]!;
    edited.body = 'first, better';
    writtenMeanwhile(books);
    await desk.commands.get('underplate.notes.saveEdit')!(edited);
    assert.deepEqual(storedWords(), ['theirs', 'first, better', 'second']);
    await until(() => comments().map(bodyOf).join() === storedWords().join());
    const [, , second] = comments();
    writtenMeanwhile(books);
    await desk.commands.get('underplate.notes.deleteRemark')!(second);
    assert.deepEqual(storedWords(), ['theirs', 'theirs', 'first, better']);
  });

  it('say so, with the words, when a remark is edited that somebody took out', async () => {
    const { books } = await open('first', 'second');
    desk.commands.get('underplate.notes.edit')!(comments()[0]);
    const edited = comments()[0]!;
    edited.body = 'first, better';
    const { thread } = books.placed(uri as unknown as vscode.Uri)[0]!;
    desk.write(notesPath, formatNotes(removeRemark(parseNotes(stored()).notes, thread.id, thread.remarks[0]!)!));
    await desk.commands.get('underplate.notes.saveEdit')!(edited);
    assert.deepEqual(storedWords(), ['second']);
    assert.match(desk.said.at(-1)!, /not in the notes any more.*first, better/);
  });

  it('come back whole when their deletion is undone, with what was written meanwhile', async () => {
    const { books } = await open('first');
    writtenMeanwhile(books);
    desk.answers.push('Undo');
    await desk.commands.get('underplate.notes.delete')!(shown()[0]);
    assert.deepEqual(storedWords(), ['theirs', 'first']);
  });

  /** The cursor on `line` (from 0) of a text. */
  function putCursor(document: TextDocument, line: number): void {
    window.activeTextEditor = { document, selection: { active: { line, character: 0 } } };
  }

  it('are asked for only where they can be kept', async () => {
    const { logs } = await open('here');
    const add = desk.commands.get('underplate.notes.add')!;
    putCursor(new TextDocument(Uri.parse('untitled:/findings'), 'a\nb'), 1);
    await add();
    assert.match(desk.said.at(-1)!, /cursor on a line of a strain log/);
    putCursor(new TextDocument(uri, lines.join('\n')), noted);
    desk.write(notesPath, '<<<<<<< ours\n');
    await desk.commands.get('underplate.notes.resolve')!(shown()[0]); // has the file read again
    await add();
    assert.match(desk.said.at(-1)!, /has an error.*mend it/);
    desk.saveText.fire(new TextDocument(uri, ''));
    starts.at(-1)!.answer(await readText('# no header\n1,2\n'));
    await until(() => logs.get(uri as unknown as vscode.Uri)!.calls !== undefined);
    desk.files.delete(notesPath);
    await add();
    assert.match(desk.said.at(-1)!, /No note can be hung here/);
    assert.deepEqual(desk.asked, []);
  });

  it('take a verdict on an event that is chosen where no cursor is, and say which stands', async () => {
    const { logs, books } = await open('here');
    const judge = desk.commands.get('underplate.notes.judge')!;
    desk.settings.set('underplate.notes.author', 'R. Example');
    await judge();
    assert.match(desk.said.at(-1)!, /Open a strain log first/);
    const { summary } = logs.get(uri as unknown as vscode.Uri)!;
    const cells = [{ cell: 0 }];
    const event = {
      id: 'e1',
      line: noted + 1,
      cells,
      message: 'Crack at B2',
      evidence: [],
      timeS: 3,
      detectedTimeS: 4,
    };
    Object.assign(summary!, { events: [event] });
    front = uri as unknown as vscode.Uri;
    desk.answers.push('$(plug) Crack at B2', 'false alarm');
    await judge();
    const stands = (): string | undefined =>
      books.placed(front!).find(({ thread }) => thread.event === 'e1')?.thread.verdict;
    await until(() => stands() === 'false-alarm');
    const given = books.placed(front!).find(({ thread }) => thread.event === 'e1')!.thread.judged;
    assert.deepEqual(
      given.map(({ by, verdict }) => [by, verdict]),
      [['R. Example', 'false-alarm']],
    );
    const own = desk.threads.find(({ label }) => /false alarm/.test(label ?? ''))!;
    assert.match(own.label!, /false alarm by R\. Example/);
    assert.equal((own.comments as unknown as NoteComment[])[0]!.author.name, 'R. Example');
    desk.answers.push('$(plug) Crack at B2');
    await judge();
    const offered = desk.asked.at(-1)!.items as { label: string; description?: string }[];
    assert.deepEqual(
      offered.filter(({ description }) => description).map(({ label }) => label),
      ['false alarm'],
    );
  });
});
