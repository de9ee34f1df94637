// What people made of the events: joins the threads of the notes to the events of the log. A thread names its event by
// id; where the id is gone (the log was edited, the detection improved), a thread on the same cell between the event's
// onset and its detection is taken to mean it.
import type { StrainEvent } from '../change/events.ts';
import type { LogHeader } from '../header/logHeader.ts';
import type { Notes, Thread, Verdict } from './notes.ts';

export interface Judgement {
  /** '' where no thread says. */
  readonly verdict: Verdict | '';
  readonly cause: string;
  readonly threads: readonly Thread[];
}

/** A person hangs a note within a few seconds of what they saw. */
const slackS = 5;

/**
 * One judgement per event, in the events' order. Where threads disagree the graver verdict stands: an event counts as
 * a false alarm only if nobody says otherwise.
 */
export function judgeEvents(events: readonly StrainEvent[], header: LogHeader, notes: Notes): Judgement[] {
  const ids = new Set(events.map(({ id }) => id));
  const byEvent = new Map<string, Thread[]>();
  const adrift: Thread[] = [];
  for (const thread of notes.threads) {
    if (thread.event === '') continue;
    if (ids.has(thread.event)) byEvent.set(thread.event, [...(byEvent.get(thread.event) ?? []), thread]);
    else if (thread.anchor.headerLine === 0) adrift.push(thread);
  }
  return events.map((event) => {
    const own = byEvent.get(event.id);
    return judgementOf(own ?? adrift.filter((thread) => means(thread, event, header)));
  });
}

function means(thread: Thread, event: StrainEvent, header: LogHeader): boolean {
  const { timeS } = thread.anchor;
  if (timeS < event.timeS - slackS || timeS > event.detectedTimeS + slackS) return false;
  const strongest = event.cells[0];
  const cell = strongest ? header.cells[strongest.cell]?.name : undefined;
  return thread.cell === '' || thread.cell === cell;
}

function judgementOf(threads: readonly Thread[]): Judgement {
  const order: readonly Verdict[] = ['confirmed', 'unsure', 'false-alarm'];
  const verdict = order.find((one) => threads.some((thread) => thread.verdict === one)) ?? '';
  const cause = threads.find((thread) => thread.verdict === verdict && thread.cause !== '')?.cause ?? '';
  return { verdict, cause, threads };
}
