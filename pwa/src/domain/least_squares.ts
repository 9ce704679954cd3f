/** Ordinary least squares by orthogonal columns (Golub and Van Loan, Matrix Computations, 5.2: modified Gram-Schmidt). */

export interface Fit {
  coefficients: number[];
  /** Residual standard deviation; null where no reading is left over. */
  residual: number | null;
  /** Inverse of the normal matrix: times the variance of one reading, the covariance of the coefficients. */
  inverse: number[][];
}

const dot = (one: readonly number[], other: readonly number[]) => one.reduce((sum, x, i) => sum + x * other[i]!, 0);

/** Fits `observed` by the columns given; null where these do not span enough. */
export function leastSquares(columns: readonly (readonly number[])[], observed: readonly number[]): Fit | null {
  const n = columns.length;
  const directions: number[][] = [];
  const triangle = columns.map(() => new Array<number>(n).fill(0));
  for (const [j, column] of columns.entries()) {
    let rest = [...column];
    // Twice, so that nearly parallel columns end up at right angles all the same.
    for (let pass = 0; pass < 2; pass++) {
      for (const [i, direction] of directions.entries()) {
        const share = dot(direction, rest);
        triangle[i]![j]! += share;
        rest = rest.map((x, k) => x - share * direction[k]!);
      }
    }
    const length = Math.sqrt(dot(rest, rest));
    triangle[j]![j] = length;
    if (length < 1e-12) return null;
    directions.push(rest.map((x) => x / length));
  }
  if (Math.abs(triangle.reduce((product, row, i) => product * row[i]!, 1)) < 1e-9) return null;
  const half = invert(triangle);
  const shares = directions.map((direction) => dot(direction, observed));
  const coefficients = half.map((row) => dot(row, shares));
  const left = observed.map((y, k) => y - columns.reduce((sum, column, j) => sum + column[k]! * coefficients[j]!, 0));
  const freedom = observed.length - n;
  const inverse = half.map((row) => half.map((other) => dot(row, other)));
  return { coefficients, residual: freedom > 0 ? Math.sqrt(dot(left, left) / freedom) : null, inverse };
}

/** Inverse of an upper triangle, by substitution from its foot. */
function invert(triangle: number[][]): number[][] {
  const n = triangle.length;
  const inverse = triangle.map((_, i) => triangle.map((__, j) => (i === j ? 1 / triangle[i]![i]! : 0)));
  for (let i = n - 1; i >= 0; i--) {
    for (let j = i + 1; j < n; j++) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum += triangle[i]![k]! * inverse[k]![j]!;
      inverse[i]![j] = -sum / triangle[i]![i]!;
    }
  }
  return inverse;
}
