/* Texts as numbers: reads what builder/publish/data/texts.py wrote. */

const BASE = 91;
const ENDS = [50, 80, 90, BASE];

/**
 * @param {string} text
 * @param {number} k
 */
function digit(text, k) {
  const sign = text.charCodeAt(k);
  return sign - (sign > 92 ? 36 : 35);
}

/**
 * The numbers in a coded text.
 * @param {string} text
 */
export function numbers(text) {
  /** @type {number[]} */
  const found = [];
  for (let k = 0; k < text.length;) {
    let lead = digit(text, k++);
    let more = 0, start = 0, offset = 0;
    for (let room = 1; lead >= ENDS[more]; more++, room *= BASE) {
      offset += (ENDS[more] - start) * room;
      start = ENDS[more];
    }
    lead -= start;
    for (let left = more; left; left--) lead = lead * BASE + digit(text, k++);
    found.push(offset + lead);
  }
  return found;
}

/**
 * Texts as lists of numbers; none for an empty text.
 * @param {string} text
 */
export function lists(text) {
  /** @type {number[][]} */
  const found = text ? [[]] : [];
  for (const number of numbers(text)) {
    if (number) found[found.length - 1].push(number);
    else found.push([]);
  }
  return found;
}

/**
 * The texts of a coded text, by the words of the index.
 * @param {string} text
 * @param {readonly string[]} words
 */
export const texts = (text, words) => lists(text).map((list) => list.map((number) => words[number - 1]).join(" "));
