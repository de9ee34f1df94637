// What every peer is told about the log: where its table begins, its columns, and the column whose mean is compared.
import { Buffer } from 'node:buffer';
import { closeSync, openSync, readSync } from 'node:fs';

/** Path from the command line; header lines (all begin with '#') before the line of names; names in order. */
export function theLog() {
  const path = process.argv[2];
  const head = Buffer.alloc(1024 * 1024);
  const file = openSync(path, 'r');
  const lines = head.toString('utf8', 0, readSync(file, head)).split('\n');
  closeSync(file);
  const headerLines = lines.findIndex((line) => !line.startsWith('#'));
  return { path, headerLines, names: lines[headerLines].split(','), compared: 'A1_90' };
}

/** One line of JSON for the bench. */
export function answer(rows, mean) {
  console.log(JSON.stringify({ rows, mean }));
}
