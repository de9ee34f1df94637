// What people have made so far of the events of a followed log: the notes beside it, as they stand when an event is told.
import type { StrainEvent } from '../../core/change/events.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import { judgeEvents } from '../../core/notes/judge.ts';
import type { Judgement } from '../../core/notes/judge.ts';
import { emptyNotes } from '../../core/notes/notes.ts';
import type { Notes } from '../../core/notes/notes.ts';
import type { Io } from '../command.ts';
import { shownPath } from '../findLogs.ts';
import { notesPath, readNotesFile } from '../notesFile.ts';
import { oneLine } from '../terminalText.ts';
import { reasonOf } from '../writeWhole.ts';

export class FollowJudgements {
  readonly #path: string;
  readonly #io: Io;
  /** Why the notes could not be read when they were last asked. */
  #trouble = '';

  constructor(path: string, io: Io) {
    this.#path = path;
    this.#io = io;
  }

  /** By the id of the event. Notes that cannot be read are told once, and judge nothing: events must be told all the same. */
  async of(events: readonly StrainEvent[], header: LogHeader): Promise<Map<string, Judgement>> {
    const judgements = judgeEvents(events, header, await this.#notes());
    return new Map(events.map(({ id }, at) => [id, judgements[at]!]));
  }

  async #notes(): Promise<Notes> {
    const { notes, trouble } = await this.#read();
    if (trouble !== '' && trouble !== this.#trouble) this.#io.stderr.write(`underplate follow: ${oneLine(trouble)}\n`);
    this.#trouble = trouble;
    return notes;
  }

  async #read(): Promise<{ notes: Notes; trouble: string }> {
    try {
      const { notes, writable, problems } = await readNotesFile(this.#path);
      if (writable) return { notes, trouble: '' };
      const { range, message } = problems.find(({ severity }) => severity === 'error') ?? problems[0]!;
      const place = `${shownPath(notesPath(this.#path), this.#io.cwd)}:${range.line}:${range.column}`;
      return {
        notes: emptyNotes('', ''),
        trouble: `no verdict is told, since the notes cannot be read: ${place}: ${message}`,
      };
    } catch (error) {
      return { notes: emptyNotes('', ''), trouble: `no verdict is told: ${reasonOf(error)}` };
    }
  }
}
