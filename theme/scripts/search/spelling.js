/* Spelling: how many slips lie between two words, told by their letters first and then exactly. */

/**
 * The letters of a word as bits: words with too few in common need no closer look.
 * @param {string} word
 */
export function letters(word) {
  let mask = 0;
  for (let k = 0; k < word.length; k++) mask |= 1 << (word.charCodeAt(k) & 31);
  return mask;
}

/**
 * Whether two words may lie so few slips apart, by their letters alone; a slip changes two of them at most.
 * @param {number} a
 * @param {number} b
 * @param {number} most
 */
export function mayBeNear(a, b, most) {
  let count = 0;
  for (let rest = a ^ b; rest; rest &= rest - 1) count++;
  return count <= 2 * most;
}

/**
 * How many slips lie between two words: a letter too many, too few, another, or two neighbours swapped (Damerau 1964; each
 * piece is changed once). Infinity if more than `most`.
 * @param {string} a
 * @param {string} b
 * @param {number} most
 */
export function slips(a, b, most) {
  if (Math.abs(a.length - b.length) > most) return Infinity;
  /** @type {number[]} */
  let before = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      let cost = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, before[j - 2] + 1);
      next.push(cost);
      if (cost < least) least = cost;
    }
    if (least > most) return Infinity;
    [before, row] = [row, next];
  }
  return row[b.length] <= most ? row[b.length] : Infinity;
}
