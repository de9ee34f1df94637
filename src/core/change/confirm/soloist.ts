// One channel alone, or the metal under all of them? Compares two explanations of a change: one channel of the cell
// jumped and the others stayed (one unknown), or the strain tensor under each rosette changed (three unknowns each).
// Method: Bayesian information criterion (Schwarz 1978) for Gaussian errors with the change's full covariance; the
// squared Mahalanobis distance stands for the number of observations. Redundant channels (more than three directions)
// speak through the misfit of the tensor; with three only, a change confined to one channel is what counts.

export interface SoloVerdict {
  /** Index of the likeliest lone channel within the change, -1 where it cannot be told. */
  readonly channel: number;
  /** Twice the log of the odds for it against the metal; NaN where it cannot be told. */
  readonly evidence: number;
}

/**
 * `delta` (m), `precision` (m x m, row by row): the change and its inverse covariance. `design` (m x k): what a tensor
 * change does to the channels.
 */
export function soloVerdict(
  delta: readonly number[],
  precision: readonly number[],
  design: readonly (readonly number[])[],
): SoloVerdict {
  const m = delta.length;
  if (m < 2) return { channel: -1, evidence: NaN };
  const pulled = multiply(precision, delta, m);
  const total = dot(pulled, delta);
  let channel = -1;
  let misfit = Infinity;
  for (let c = 0; c < m; c++) {
    const rest = Math.max(0, total - pulled[c]! ** 2 / precision[c * m + c]!);
    if (rest < misfit) {
      misfit = rest;
      channel = c;
    }
  }
  const { misfit: tensorMisfit, unknowns } = tensorFit(delta, precision, design);
  const solo = heavyTailed(misfit, m - 1) + Math.log(1 + total) + 2 * Math.log(m);
  const metal = heavyTailed(tensorMisfit, m - unknowns) + unknowns * Math.log(1 + total / Math.max(1, unknowns));
  return { channel, evidence: metal - solo };
}

/** Twice the negative log-likelihood of a squared distance of `count` numbers whose noise is Student's, not normal. */
function heavyTailed(squared: number, count: number): number {
  return count > 0 ? (tailDegrees + count) * Math.log1p(squared / tailDegrees) : 0;
}

const tailDegrees = 4;

/** Weighted least squares of delta on design, by Cholesky with dependent columns left out. */
function tensorFit(
  delta: readonly number[],
  precision: readonly number[],
  design: readonly (readonly number[])[],
): { misfit: number; unknowns: number } {
  const m = delta.length;
  let misfit = dot(multiply(precision, delta, m), delta);
  let unknowns = 0;
  // Gram-Schmidt under the precision: each column's own part explains its own share.
  const done: { column: number[]; pulled: number[]; norm: number }[] = [];
  const columns = design[0]?.length ?? 0;
  for (let k = 0; k < columns; k++) {
    let column = design.map((row) => row[k]!);
    const size = dot(multiply(precision, column, m), column);
    for (const other of done) {
      const share = dot(other.pulled, column) / other.norm;
      column = column.map((v, i) => v - share * other.column[i]!);
    }
    const pulled = multiply(precision, column, m);
    const norm = dot(pulled, column);
    if (!(norm > 1e-9 * size)) continue;
    done.push({ column, pulled, norm });
    misfit -= dot(pulled, delta) ** 2 / norm;
    unknowns++;
  }
  return { misfit: Math.max(0, misfit), unknowns };
}

function multiply(matrix: readonly number[], vector: readonly number[], m: number): number[] {
  return vector.map((_, i) => vector.reduce((sum, v, j) => sum + matrix[i * m + j]! * v, 0));
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, v, i) => sum + v * b[i]!, 0);
}
