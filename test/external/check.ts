// One external check: a figure that somebody else published or that another method gives, against what our code gives.
// `source` says where it is from; `basis` whether the figure was read there or quoted from memory, or else follows from a
// formula by hand, from another library, or from simulation.

export interface Check {
  readonly source: string;
  readonly basis: 'published, from memory' | 'published, read' | 'closed form' | 'another library' | 'simulation';
  readonly quantity: string;
  readonly unit: string;
  readonly expected: number;
  readonly got: () => number;
  /** Largest allowed difference, in the unit; half the last printed digit where a book prints a figure. */
  readonly tolerance: number;
}

/** Relative floor for exact formulas in double precision. */
export const floor = 1e-9;

export interface CheckResult {
  readonly check: Check;
  readonly got: number;
}

/** The table of all checks as text: one heading per source, one line per figure. */
export function checkTable(results: readonly CheckResult[]): string {
  const titles = ['quantity', 'expected', 'got', 'difference', 'allowed'];
  const groups = new Map<string, string[][]>();
  for (const { check, got } of results) {
    const heading = `${check.source} (${check.basis})`;
    const rows = groups.get(heading) ?? [];
    const difference = got - check.expected;
    rows.push([
      `  ${check.quantity}`,
      `${figure(check.expected)} ${check.unit}`.trim(),
      figure(got),
      difference === 0 ? '0' : difference.toExponential(1),
      check.tolerance.toExponential(1),
    ]);
    groups.set(heading, rows);
  }
  const all = [titles, ...[...groups.values()].flat()];
  const widths = titles.map((_, c) => Math.max(...all.map((row) => row[c]!.length)));
  const line = (row: readonly string[]): string =>
    row
      .map((cell, c) => cell.padEnd(widths[c]!))
      .join('  ')
      .trimEnd();
  return [line(titles), ...[...groups].flatMap(([heading, rows]) => [heading, ...rows.map(line)])].join('\n');
}

function figure(value: number): string {
  return String(Number(value.toPrecision(7)));
}
