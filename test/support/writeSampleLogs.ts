// `npm run samples`: writes sample-logs/ anew from its scenarios.
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { sampleFiles } from './sampleLogs.ts';

const folder = new URL('../../sample-logs/', import.meta.url);
mkdirSync(new URL('truth/', folder), { recursive: true });
for (const [name, text] of sampleFiles()) {
  writeFileSync(new URL(name, folder), text);
  console.log(`${fileURLToPath(new URL(name, folder))}: ${text.length} bytes`);
}
