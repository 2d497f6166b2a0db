/* The vocabulary: every word that the search knows, by numbers; words of one stem have one number. */

/** @import { Language } from "./shapes.js" */
import { letters, mayBeNear, slips } from "./spelling.js";
import { bases, wordsOf } from "./terms.js";

/** How well a typed word fits a known one: what it has to be multiplied with. */
export const FIT = { same: 1, form: 0.9, begun: 0.75, part: 0.55, slip: 0.7, slips: 0.45, akin: 0.35 };
const SHORT = 6;
const SHORTEST_PART = 4;
const SHORTEST_LEFT = 2;
const LONG_PART = 6;
const MOST_BEGUN = 60;
const MOST_LIKE = 4;

export class Vocabulary {
  /** @param {Language & { words: string, cuts: string }} data */
  constructor({ words, cuts, stems, suffixes, joints }) {
    this.suffixes = suffixes;
    /** What may stand between the parts of a compound; none where there are no compounds. */
    this.joints = joints;
    /** @type {Map<string, string>} */
    this.stems = new Map();
    words.split(" ").forEach((written, k) => {
      const cut = Number(cuts[k]);
      for (const word of cut ? wordsOf(written) : []) this.stems.set(word, word.slice(0, -cut));
    });
    const pairs = stems ? stems.split(" ") : [];
    for (let k = 0; k < pairs.length; k += 2) this.stems.set(pairs[k], pairs[k + 1]);
    /** @type {Map<string, number>} words and stems */
    this.known = new Map();
    this.size = 0;
    /** @type {Set<number>} words that say nothing */
    this.filler = new Set();
    /** @type {Set<number>} words that the library says; others are known from the trade's list alone */
    this.said = new Set();
    /** @type {string[]} */
    this.sorted = [];
    /** @type {Map<string, Set<number>>} */
    this.byBase = new Map();
    /** @type {{ base: string, mask: number }[][]} bases as they may be mistyped, by length, with their letters */
    this.spelt = [];
  }

  /**
   * The number of a word; what is not known becomes known.
   * @param {string} word
   */
  number(word) {
    const found = this.known.get(word);
    if (found !== undefined) return found;
    const stem = this.stems.get(word) || word;
    let number = this.known.get(stem);
    if (number === undefined) {
      number = this.size++;
      this.known.set(stem, number);
    }
    this.known.set(word, number);
    return number;
  }

  /**
   * The numbers of the words of a text.
   * @param {string} text
   */
  numbers(text) {
    return wordsOf(text).map((word) => this.number(word));
  }

  /** Make ready for {@link meant}, once every word is known. */
  close() {
    this.sorted = [...this.known.keys()].sort();
    for (const [word, number] of this.known) {
      for (const base of bases(word, this.suffixes)) {
        const numbers = this.byBase.get(base);
        if (numbers) numbers.add(number);
        else this.byBase.set(base, new Set([number]));
      }
    }
    for (const base of this.byBase.keys()) {
      if (base.length >= SHORTEST_PART) (this.spelt[base.length] ??= []).push({ base, mask: letters(base) });
    }
  }

  /**
   * Numbers that a typed word may mean, with how well each fits.
   * @param {string} word
   * @param {boolean} begun whether it may still be typed
   */
  meant(word, begun) {
    /** @type {Map<number, number>} */
    const fits = new Map();
    const fit = (/** @type {number} */ number, /** @type {number} */ how) => {
      if (how > (fits.get(number) || 0)) fits.set(number, how);
    };
    const same = this.known.get(word);
    if (same !== undefined) fit(same, FIT.same);
    if (same !== undefined && this.filler.has(same)) return fits;
    const own = bases(word, this.suffixes);
    for (const base of own) for (const number of this.byBase.get(base) || []) fit(number, FIT.form);
    const isKnown = fits.size > 0;
    const isSaid = [...fits.keys()].some((number) => this.said.has(number));
    if (begun || !isKnown) this.beginWith(word, fit);
    if (!isSaid) this.compounds(own, fit);
    if (!isKnown) this.mistyped(own, fit);
    if (!fits.size) this.akin(word, fit);
    return fits;
  }

  /**
   * Words that begin like this.
   * @param {string} start
   * @param {(number: number, fit: number) => void} fit
   */
  beginWith(start, fit) {
    let low = 0, high = this.sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.sorted[middle] < start) low = middle + 1;
      else high = middle;
    }
    for (let k = low; k < this.sorted.length && k < low + MOST_BEGUN && this.sorted[k].startsWith(start); k++) {
      fit(this.number(this.sorted[k]), FIT.begun);
    }
  }

  /**
   * Words that share a long beginning: the last resort.
   * @param {string} word
   * @param {(number: number, fit: number) => void} fit
   */
  akin(word, fit) {
    for (let length = word.length - 1; length >= SHORTEST_PART && 2 * length >= word.length - 1; length--) {
      const start = word.slice(0, length);
      let found = false;
      this.beginWith(start, (number) => {
        fit(number, FIT.akin);
        found = true;
      });
      if (found) return;
    }
  }

  /**
   * Compounds of which the word is a part: "riemen" is one of "zahnriemen".
   * @param {readonly string[]} own its bases
   * @param {(number: number, fit: number) => void} fit
   */
  compounds(own, fit) {
    const cores = own.filter((base) => base.length >= SHORTEST_PART);
    for (const known of this.sorted) {
      if (cores.some((core) => known.length > core.length && (known.endsWith(core) || known.startsWith(core)))) {
        fit(this.number(known), FIT.part);
      }
    }
  }

  /**
   * The two words that make a compound, the longest known second part first; none where it is no compound.
   * @param {string} word
   * @param {readonly string[]} joints
   * @returns {string[]}
   */
  split(word, joints = this.joints) {
    for (let k = SHORTEST_LEFT; k <= word.length - SHORTEST_PART; k++) {
      const right = word.slice(k);
      if (!this.byBase.has(right)) continue;
      for (const joint of joints) {
        const left = word.slice(0, k - joint.length);
        if (word.slice(left.length, k) === joint && this.isLeft(left)) return [left, right];
      }
    }
    return this.joints.length ? this.halfSplit(word) : [];
  }

  /**
   * A long part of a compound that is known, where the other is not; the last part says what the whole is.
   * @param {string} word
   */
  halfSplit(word) {
    for (let k = SHORTEST_PART; k <= word.length - LONG_PART; k++) {
      if (this.byBase.has(word.slice(k))) return [word.slice(0, k), word.slice(k)];
    }
    for (let k = word.length - SHORTEST_PART; k >= LONG_PART - 1; k--) {
      if (this.byBase.has(word.slice(0, k))) return [word.slice(0, k), word.slice(k)];
    }
    return [];
  }

  /**
   * Whether a compound may begin so.
   * @param {string} left
   */
  isLeft(left) {
    if (left.length > SHORTEST_LEFT) return this.byBase.has(left);
    const number = this.known.get(left);
    return left.length >= SHORTEST_LEFT && number !== undefined && !this.filler.has(number);
  }

  /**
   * Whether a word or a form of it is known.
   * @param {string} word
   */
  knows(word) {
    return bases(word, this.suffixes).some((base) => this.byBase.has(base));
  }

  /**
   * Words from which a slip or two lead to this one.
   * @param {readonly string[]} own its bases
   * @param {(number: number, fit: number) => void} fit
   */
  mistyped(own, fit) {
    const [word, ...stripped] = own;
    const shortest = stripped.filter((base) => base.length >= SHORTEST_PART).sort((a, b) => a.length - b.length).slice(0, 1);
    for (const typed of [word, ...shortest]) this.misspelt(typed, fit);
  }

  /**
   * Bases from which a slip or two lead to this one.
   * @param {string} word
   * @param {(number: number, fit: number) => void} fit
   */
  misspelt(word, fit) {
    const most = word.length < 4 ? 0 : word.length < 8 ? 1 : 2;
    const mask = letters(word);
    for (let length = word.length - most; most && length <= word.length + most; length++) {
      for (const { base, mask: other } of this.spelt[length] || []) {
        if (!mayBeNear(mask, other, most)) continue;
        const count = slips(word, base, most);
        if (count > most) continue;
        // Hardly anybody mistypes the first letter; a short word with a slip is more likely another word.
        const how = (count > 1 ? FIT.slips : FIT.slip) * (word[0] === base[0] ? 1 : 0.6) * (word.length < SHORT ? 0.7 : 1);
        for (const number of this.byBase.get(base) || []) fit(number, how);
      }
    }
  }

  /**
   * Numbers of the words that look like one that nobody knows, the likest first.
   * @param {string} word
   */
  lookAlikes(word) {
    const most = Math.min(MOST_LIKE, Math.ceil(word.length / 2));
    const mask = letters(word);
    /** @type {{ number: number, count: number }[]} */
    const found = [];
    for (let length = word.length - most; length <= word.length + most; length++) {
      for (const { base, mask: other } of this.spelt[length] || []) {
        const count = mayBeNear(mask, other, most) ? slips(word, base, most) : Infinity;
        // Hardly anybody mistypes the first letter.
        if (count <= most) for (const number of this.byBase.get(base) || []) found.push({ number, count: count + Number(word[0] !== base[0]) });
      }
    }
    return [...new Set(found.sort((a, b) => a.count - b.count).map(({ number }) => number))];
  }
}
