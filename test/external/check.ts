// One external check: a figure that somebody else published or that another method gives, against what our code gives.
// `source` says where it is from; `recall` says that the figure was quoted from memory and not read again; `derived`
// that it follows from a closed formula, evaluated apart from our code.

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

/** The table of all checks as text. */
export function checkTable(checks: readonly Check[]): string {
  const rows = checks.map((check) => {
    const got = check.got();
    const difference = got - check.expected;
    return [
      check.source,
      check.basis,
      check.quantity,
      `${figure(check.expected)} ${check.unit}`.trim(),
      figure(got),
      Math.abs(difference) < 1e-15 * Math.abs(got) ? '0' : difference.toExponential(1),
      check.tolerance.toExponential(1),
    ];
  });
  const titles = ['source', 'basis', 'quantity', 'expected', 'got', 'difference', 'allowed'];
  const all = [titles, ...rows];
  const widths = titles.map((_, c) => Math.max(...all.map((row) => row[c]!.length)));
  return all
    .map((row) =>
      row
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

function figure(value: number): string {
  return String(Number(value.toPrecision(7)));
}
