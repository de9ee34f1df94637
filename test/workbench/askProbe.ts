// Has the probe extension do something that has no button (see probe/probe.mjs): a request in the open folder, an answer
// beside it.
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

/** @throws Error with what the probe says went wrong. */
export async function askProbe<Answer>(folder: string, request: object): Promise<Answer> {
  const answer = join(folder, 'probe.answer.json');
  writeFileSync(join(folder, 'request.part'), JSON.stringify(request));
  renameSync(join(folder, 'request.part'), join(folder, 'probe.request.json'));
  for (let attempt = 0; attempt < 600; attempt++) {
    await wait(100);
    const text = existsSync(answer) ? readFileSync(answer, 'utf8') : '';
    if (text === '') continue;
    renameSync(answer, `${answer}.read`);
    const told = JSON.parse(text) as Answer & { readonly error?: string };
    if (told.error !== undefined) throw new Error(told.error);
    return told;
  }
  throw new Error(`no answer to ${JSON.stringify(request)}`);
}
