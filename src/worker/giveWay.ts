// Lets everything else go first: a thread that works for long takes what is left of the processors. Linux only, where the
// priority is a thread's own; elsewhere it would be that of the whole editor, and stays. Node only.
import { readlinkSync } from 'node:fs';
import { setPriority } from 'node:os';
import { basename } from 'node:path';

const niceness = 10;

/** For the thread that calls this, for as long as it lives. */
export function giveWay(): void {
  if (process.platform !== 'linux') return;
  try {
    setPriority(Number(basename(readlinkSync('/proc/thread-self'))), niceness);
  } catch {
    // Without /proc, or where priorities may not be changed, the thread works as any other.
  }
}
