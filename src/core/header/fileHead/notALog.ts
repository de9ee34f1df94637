// Problems that say: this file is no strain log at all, or not yet. All others are of a log that has mistakes.
export const notALog: ReadonlySet<string> = new Set([
  'file-empty',
  'header-missing',
  'header-too-long',
  'lfs-pointer',
  'line-ends-cr',
  'not-text',
  'strain-log-missing',
]);
