// Leads to a line of a log: in its text, or in an excerpt where the editor shows a placeholder instead of the text.
import { showExcerpt } from './excerpt.ts';
import { isBehindPlaceholder } from './largeFiles.ts';
import type { OpenLog } from './logs.ts';
import { revealLine } from './reveal.ts';
import type { RevealOptions } from './reveal.ts';

/** `line` from 1. */
export async function leadToLine(log: OpenLog, line: number, options: RevealOptions = {}): Promise<void> {
  if (isBehindPlaceholder(log.summary?.bytes ?? 0)) await showExcerpt(log.uri, line, options.preserveFocus);
  else await revealLine(log.uri, line, options);
}
