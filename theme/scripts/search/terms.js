/* Terms: the words of a text as the search compares them, and what is left of a word without its ending. */

const APOSTROPHES = /['’ʼ‘`´]/g;
const SHORTEST_BASE = 3;

/**
 * A text in small letters, without accents and apostrophes.
 * @param {string} text
 */
export const folded = (text) =>
  text.toLowerCase().replace(APOSTROPHES, "").normalize("NFD").replace(/\p{M}/gu, "").replaceAll("ß", "ss");

/**
 * The words of a text; letters and digits are words apart.
 * @param {string} text
 * @returns {string[]}
 */
export const wordsOf = (text) => folded(text).match(/\p{Nd}+|[\p{L}\p{Nl}\p{No}]+/gu) || [];

/**
 * A word without each of some suffixes, the word itself first; of a doubled letter that is left at the end, one goes.
 * @param {string} word
 * @param {readonly string[]} suffixes
 */
export function bases(word, suffixes) {
  const found = [word];
  for (const suffix of suffixes) {
    if (word.length - suffix.length < SHORTEST_BASE || !word.endsWith(suffix)) continue;
    const base = word.slice(0, -suffix.length);
    found.push(base);
    if (base.length > SHORTEST_BASE && base.at(-1) === base.at(-2)) found.push(base.slice(0, -1));
  }
  return found;
}
