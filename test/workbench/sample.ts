// The sample logs as plain text, for what a test expects: read here with nothing of ours.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import { root } from './desk.ts';

export function sampleText(name: string): string {
  return readFileSync(join(root, 'sample-logs', name), 'utf8');
}

/** Line and column, from 1, of the first place of `words` in a text. */
export function placeOf(words: string, text: string): { readonly line: number; readonly column: number } {
  const at = text.indexOf(words);
  assert.ok(at >= 0, `the text holds '${words}'`);
  const before = text.slice(0, at);
  return { line: before.split('\n').length, column: at - before.lastIndexOf('\n') };
}

/** Line, from 1, of the first row at or after a time. */
export function lineAtTime(text: string, timeS: number): number {
  return lineWhere(text, ([time]) => Number(time) >= timeS);
}

/** Line, from 1, of the first row whose fields satisfy `test`. */
export function lineWhere(text: string, test: (fields: readonly string[]) => boolean): number {
  const lines = text.split('\n');
  const names = lines.findIndex((line) => !line.startsWith('#'));
  const found = lines.findIndex((line, index) => index > names && test(line.split(',')));
  assert.ok(found > names, 'a row fits');
  return found + 1;
}

export interface TrueEvent {
  readonly nature: string;
  readonly kind: string;
  readonly time_s: number;
  readonly full_time_s: number;
  readonly layer: number;
  readonly part: string;
  readonly channels: readonly string[];
  readonly cells: readonly { readonly cell: string; readonly change_microstrain: readonly [number, number, number] }[];
}

/** What the simulator says happened in a sample log. */
export function truthOf(name: string): readonly TrueEvent[] {
  const file = join(root, 'sample-logs/truth', name.replace('.strain.csv', '.yaml'));
  return (parse(readFileSync(file, 'utf8')) as { events: TrueEvent[] }).events;
}
