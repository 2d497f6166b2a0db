/* Sums of floats that are rounded once, whatever their order, as Python's `math.fsum` adds them up. */

/**
 * The sum of some figures: their partial sums without any error (Shewchuk 1997), which are then added from the largest
 * down; a half is rounded to even, by what is left below it.
 * @param {Iterable<number>} figures
 */
export function exactSum(figures) {
  /** @type {number[]} */
  const partials = [];
  for (let x of figures) {
    let kept = 0;
    for (let y of partials) {
      if (Math.abs(x) < Math.abs(y)) [x, y] = [y, x];
      const high = x + y;
      const low = y - (high - x);
      if (low) partials[kept++] = low;
      x = high;
    }
    partials.length = kept;
    partials.push(x);
  }
  let n = partials.length;
  if (!n) return 0;
  let high = partials[--n], low = 0;
  while (n > 0) {
    const x = high, y = partials[--n];
    high = x + y;
    low = y - (high - x);
    if (low) break;
  }
  if (n > 0 && ((low < 0 && partials[n - 1] < 0) || (low > 0 && partials[n - 1] > 0))) {
    const twice = low * 2;
    const rounded = high + twice;
    if (twice === rounded - high) high = rounded;
  }
  return high;
}
