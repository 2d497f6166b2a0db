/* Words that call for a hazard, in plain spelling: by the words and patterns of builder/read/words. What is disguised,
   slipped or run together, the check of the library finds. */

/** @import { WordFinder } from "./shapes.js" */

const SENTENCE = "\n", CLAUSE = ",", UNKNOWN = " ";
const LETTER = "[\\p{L}\\p{N}]";
const END = new RegExp(`[^\\p{L}\\p{N}]+$`, "u");
const HIDDEN = new RegExp(`(?<=${LETTER})['’‘\`´*~\\\\]+(?=${LETTER})`, "gu");
const WORD = new RegExp(`${LETTER}+|[,:()[\\]{}–—]`, "gu");

/** @typedef {{word: string, start: number, end: number}} Piece */
/** @typedef {{words: Map<string, string>, heads: [string, string][], tails: [string, string][], within: [string, string][], never: RegExp | null, patterns: [hazard: string, pattern: RegExp, isOwn: boolean][]}} Finder */

/** @type {WeakMap<WordFinder[], Finder[]>} */
const made = new WeakMap();

/**
 * A pattern of Python's as one of a browser's.
 * @param {string} pattern
 */
const expression = (pattern) => new RegExp(pattern.replace(/\\Z/g, "$"), "gu");

/** @param {Record<string, string[]>} table @returns {[string, string][]} */
const entries = (table) => Object.entries(table).flatMap(([sign, words]) => words.map((word) => /** @type {[string, string]} */ ([word, sign])));

/** @param {WordFinder} data @returns {Finder} */
const finderOf = ({ whole, heads, tails, within, never, hazards, own }) => ({
  words: new Map(entries(whole)), heads: longest(entries(heads)), tails: longest(entries(tails)), within: longest(entries(within)),
  never: never ? expression(never) : null,
  patterns: [...Object.entries(own).map(([hazard, pattern]) => /** @type {[string, RegExp, boolean]} */ ([hazard, expression(pattern), true])),
    ...Object.entries(hazards).map(([hazard, pattern]) => /** @type {[string, RegExp, boolean]} */ ([hazard, expression(pattern), false]))],
});

/** @param {[string, string][]} words */
const longest = (words) => words.sort(([one], [other]) => other.length - one.length);

/**
 * Words in small plain letters, and the marks that end a clause or a sentence.
 * @param {string} text
 */
export function pieces(text) {
  /** @type {Piece[]} */
  const found = [];
  for (const { 1: gap, 2: chunk, index } of text.matchAll(/(\s*)(\S+)/g)) {
    const start = index + gap.length, end = start + chunk.length;
    if (found.length && gap.split("\n").length > 2) found.push({ word: SENTENCE, start, end: start });
    const shown = chunk.toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "");
    const body = shown.replace(END, ""), tail = shown.slice(body.length);
    const owned = /^(.*\p{L})['’]s$/u.exec(body);
    for (const [word] of (owned ? owned[1] : body).replace(HIDDEN, "").matchAll(WORD)) found.push({ word: /^[\p{L}\p{N}]/u.test(word) ? word : CLAUSE, start, end });
    if (owned) found.push({ word: "'s", start, end });
    const mark = markOf(tail, body);
    if (mark) found.push({ word: mark, start: end, end });
  }
  return found;
}

/**
 * The mark that the signs behind a word make; the full stop of a short word may be an abbreviation's.
 * @param {string} signs
 * @param {string} before
 */
function markOf(signs, before) {
  if (/[.?!;…。]/.test(signs)) return !/[?!;…。]/.test(signs) && (before.length <= 2 || /^\d+$/.test(before)) ? CLAUSE : SENTENCE;
  return /[,:()[\]{}–—]/.test(signs) || signs === "-" || signs === "--" ? CLAUSE : "";
}

/**
 * @param {Finder} finder
 * @param {string} word
 */
function signOf({ words, heads, tails, within }, word) {
  if (word === SENTENCE || word === CLAUSE) return word;
  const known = words.get(word) || (/^\d+$/.test(word) ? words.get("0") : undefined);
  if (known || word.length < 3) return known || UNKNOWN;
  const found = within.find(([part]) => word.includes(part)) || heads.find(([head]) => word.startsWith(head)) || tails.find(([tail]) => word.endsWith(tail));
  return found ? found[1] : UNKNOWN;
}

/**
 * The signs without those that stand in phrases which never call for a hazard, or the groups in them.
 * @param {string} signs
 * @param {RegExp} never
 */
function without(signs, never) {
  const kept = [...signs];
  for (const match of signs.matchAll(new RegExp(never.source, "dgu"))) {
    const [whole, ...groups] = /** @type {[number, number][]} */ ((match.indices || []).filter(Boolean));
    for (const [start, end] of groups.length ? groups : [whole]) kept.fill(UNKNOWN, start, end);
  }
  return kept.join("");
}

/**
 * The hazards that a text calls for, each with the words that first do.
 * @param {string} text
 * @param {WordFinder[]} data
 * @returns {Map<string, string>}
 */
export function called(text, data) {
  const finders = made.get(data) || data.map(finderOf);
  made.set(data, finders);
  const read = pieces(text);
  /** @type {Map<string, string>} */
  const found = new Map();
  for (const finder of finders) {
    const signs = read.map(({ word }) => signOf(finder, word)).join("");
    const left = finder.never ? without(signs, finder.never) : signs;
    for (const [hazard, pattern, isOwn] of finder.patterns) {
      const [match] = found.has(hazard) ? [] : [...(isOwn ? signs : left).matchAll(pattern)];
      if (match) found.set(hazard, text.slice(read[match.index].start, read[match.index + match[0].length - 1].end).replace(/\s+/g, " ").replace(END, ""));
    }
  }
  return found;
}
