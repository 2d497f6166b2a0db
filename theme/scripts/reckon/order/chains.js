/* Chains: what policies cost under two causes, corner by corner along the lower left edge of their convex hull. */

/** @import { Chain } from "./shapes.js" */

/** At most so many corners has a chain; where it would have more, some are cut off below it. */
const CORNERS = 32;
/** So little more than with the cause known is nothing. */
const ROUNDING = 1e-9;

/**
 * The least cost at some weights, and the number of the corner.
 * @param {Chain} chain
 * @param {number} x
 * @param {number} y
 */
export function cheapest(chain, x, y) {
  let cost = chain[0][0] * x + chain[0][1] * y, place = 0;
  for (let k = 1; k < chain.length; k++) {
    const next = chain[k][0] * x + chain[k][1] * y;
    if (next < cost) {
      cost = next;
      place = k;
    } else if (next > cost + ROUNDING) break;
  }
  return { cost, place };
}

/**
 * How much of two weights a pair needs for its gain, and that gain.
 * @param {Chain} chain
 * @param {number} x
 * @param {number} y
 */
export function share(chain, x, y) {
  const { cost, place } = cheapest(chain, x, y);
  const last = chain.length - 1;
  if (last && place === 0 && chain[0][0] <= ROUNDING) {
    const [a, b] = chain[0];
    const tips = chain.filter((corner) => corner[0] - a > ROUNDING).map((corner) => (b - corner[1]) * y / (corner[0] - a));
    if (tips.length) x = Math.min(x, Math.max(...tips));
    return { x, y, gain: chain[0][0] * x + chain[0][1] * y };
  }
  if (last && place === last && chain[last][1] <= ROUNDING) {
    const [a, b] = chain[last];
    const tips = chain.filter((corner) => corner[1] - b > ROUNDING).map((corner) => (a - corner[0]) * x / (corner[1] - b));
    if (tips.length) y = Math.min(y, Math.max(...tips));
    return { x, y, gain: chain[last][0] * x + chain[last][1] * y };
  }
  return { x, y, gain: cost };
}

/**
 * The lower left edge of the convex hull of some points, which it sorts (monotone chain; Andrew 1979).
 * @param {Chain} points
 * @returns {Chain}
 */
export function edge(points) {
  /** @type {Chain} */
  const found = [];
  for (const point of points.sort((a, b) => a[0] - b[0] || a[1] - b[1])) {
    const x = point[0], y = point[1];
    let last = found.length - 1;
    if (last >= 0 && y >= found[last][1]) continue;
    for (; last > 0; last--) {
      const one = found[last - 1], other = found[last];
      if ((other[1] - one[1]) * (x - one[0]) < (y - one[1]) * (other[0] - one[0])) break;
      found.pop();
    }
    found.push(point);
  }
  return found;
}

/**
 * @param {Chain} chain
 * @param {number} p
 * @param {number} q
 * @returns {Chain}
 */
export function scaled(chain, p, q) {
  if (p === 0) return [[0, q * chain[chain.length - 1][1]]];
  if (q === 0) return [[p * chain[0][0], 0]];
  return chain.map(([x, y]) => [p * x, q * y]);
}

/**
 * All sums of a point of one chain and a point of another.
 * @param {Chain} one
 * @param {Chain} other
 */
export function sumOf(one, other) {
  let i = 0, j = 0;
  /** @type {Chain} */
  const chain = [[one[0][0] + other[0][0], one[0][1] + other[0][1]]];
  while (i < one.length - 1 || j < other.length - 1) {
    if (j === other.length - 1) i++;
    else if (i === one.length - 1) j++;
    else {
      const a = one[i], b = one[i + 1], c = other[j], d = other[j + 1];
      if ((b[1] - a[1]) * (d[0] - c[0]) <= (d[1] - c[1]) * (b[0] - a[0])) i++;
      else j++;
    }
    chain.push([one[i][0] + other[j][0], one[i][1] + other[j][1]]);
  }
  return chain;
}

/** @param {Chain} chain */
export function cut(chain) {
  while (chain.length > CORNERS) {
    let place = 0, smallest = Infinity;
    for (let k = 0; k + 1 < chain.length; k++) {
      const size = (chain[k + 1][0] - chain[k][0]) * (chain[k][1] - chain[k + 1][1]);
      if (size < smallest) [place, smallest] = [k, size];
    }
    chain = edge([...chain.slice(0, place), [chain[place][0], chain[place + 1][1]], ...chain.slice(place + 2)]);
  }
  return chain;
}
