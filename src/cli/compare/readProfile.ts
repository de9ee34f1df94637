// A log on disk -> its profile by layer or time, and what else two builds must share to be compared.
import { basename } from 'node:path';
import { startProfile } from '../../core/compare/layerProfile.ts';
import type { Alignment, LayerProfile } from '../../core/compare/layerProfile.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import type { AnalysisSettings } from '../../core/pipeline/settings.ts';
import { wordsOf } from '../../core/problem.ts';
import { InputError } from '../command.ts';
import { readLog } from '../derive/deriveReading.ts';
import { findSick } from '../findSick.ts';

export interface ProfiledLog {
  readonly path: string;
  readonly header: LogHeader;
  readonly profile: LayerProfile;
}

export interface ProfileOptions {
  readonly alignment: Alignment;
  readonly settings: AnalysisSettings;
  /** Every channel counts as it is: the log is not searched for sick ones. */
  readonly believeAll: boolean;
  readonly signal: AbortSignal;
}

/** @throws InputError where the log cannot be read, its header has errors, or it lacks the column to align by. */
export async function readProfile(
  path: string,
  { alignment, settings, believeAll, signal }: ProfileOptions,
): Promise<ProfiledLog> {
  const { basis, problems, rows } = await readLog(path, settings);
  const name = basename(path);
  const sick = believeAll || !basis ? [] : await findSick(path, settings, basis, signal);
  const profiler = asInputError(() => startProfile({ name, basis, problems, sick }, alignment));
  await rows((blocks) => {
    for (const block of blocks) profiler.push(block);
    return Promise.resolve();
  });
  return { path, header: basis!.header, profile: profiler.finish(name) };
}

/** What core says of a log is told as a fault of the input. */
export function asInputError<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw new InputError(wordsOf(error));
  }
}
