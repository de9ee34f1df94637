// A log on disk -> its profile by layer or time, and what else two builds must share to be compared.
import { basename } from 'node:path';
import { LayerProfiler } from '../core/compare/layerProfile.ts';
import type { Alignment, LayerProfile } from '../core/compare/layerProfile.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import { blockRowsFor } from '../core/table/rowScanner.ts';
import { InputError } from './command.ts';
import { readLog } from './deriveReading.ts';

export interface ProfiledLog {
  readonly path: string;
  readonly header: LogHeader;
  readonly profile: LayerProfile;
}

/** @throws InputError where the log cannot be read, its header has errors, or it lacks the column to align by. */
export async function readProfile(
  path: string,
  alignment: Alignment,
  settings: AnalysisSettings,
): Promise<ProfiledLog> {
  const log = await readLog(path, settings);
  const name = basename(path);
  if (!log.basis) {
    const worst = log.problems.find(({ severity }) => severity === 'error');
    const why = worst ? `line ${worst.range.line}: ${worst.message}` : 'its header has errors';
    throw new InputError(`'${name}' cannot be compared: ${why}`);
  }
  const { header } = log.basis;
  if (alignment.by === 'layer' && header.roles.layer < 0) {
    throw new InputError(`'${name}' has no layer column; compare by time instead (--by time)`);
  }
  const profiler = new LayerProfiler(log.basis, alignment, blockRowsFor(header.columns.length) + 1);
  await log.rows((blocks) => {
    for (const block of blocks) profiler.push(block);
    return Promise.resolve();
  });
  return { path, header, profile: profiler.finish(name) };
}
