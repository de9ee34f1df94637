// Saves what was found as JSON, in the form that `underplate check --format json` writes.
import { logStem } from '../core/besideLog.ts';
import { checkContract } from './checkOf.ts';
import type { OpenLog } from './logs.ts';
import { fileName } from './logFile.ts';
import { saveExport } from './saveExport.ts';

export async function saveFindings(log: OpenLog): Promise<void> {
  const text = `${JSON.stringify(await checkContract(log), undefined, 2)}\n`;
  const name = `${logStem(fileName(log.uri))}.findings.json`;
  await saveExport(log.uri, name, 'JSON', new TextEncoder().encode(text));
}
