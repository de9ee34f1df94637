// Small symmetric matrices, row by row, where clarity counts before speed.

/** Inverse of a symmetric positive definite matrix, by Cholesky; variances lost to rounding keep a thousandth. */
export function inverse(matrix: readonly number[], n: number): number[] {
  const factor = new Array<number>(n * n).fill(0);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      if (i === j) factor[i * n + i] = Math.sqrt(Math.max(sum, 1e-3 * matrix[i * n + i]!));
      else factor[i * n + j] = sum / factor[j * n + j]!;
    }
  }
  const out = new Array<number>(n * n).fill(0);
  for (let c = 0; c < n; c++) {
    const x = new Array<number>(n).fill(0);
    for (let i = 0; i < n; i++) {
      let sum = i === c ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= factor[i * n + k]! * x[k]!;
      x[i] = sum / factor[i * n + i]!;
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = x[i]!;
      for (let k = i + 1; k < n; k++) sum -= factor[k * n + i]! * x[k]!;
      x[i] = sum / factor[i * n + i]!;
    }
    for (let i = 0; i < n; i++) out[i * n + c] = x[i]!;
  }
  return out;
}
