// What a library tells the process behind our back: on a command line it would stand among the findings.

/** The warnings that reach the process while `work` runs. */
export function processWarnings(work: () => void): string[] {
  const told: string[] = [];
  const { emitWarning } = process;
  process.emitWarning = (warning: string | Error) => void told.push(String(warning));
  try {
    work();
  } finally {
    process.emitWarning = emitWarning;
  }
  return told;
}
