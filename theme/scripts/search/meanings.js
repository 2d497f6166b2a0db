/* Meanings: what several phrases say alike, and what a negation turns into its opposite, found in rows of words. */

/** @import { Language } from "./shapes.js" */
/** @import { Vocabulary } from "./vocabulary.js" */
import { wordsOf } from "./terms.js";

/** How well one phrase stands for another. */
export const FIT_SAME = 0.8;
export const FIT_AKIN = 0.3;
/** How many words may stand between two words of a phrase. */
const GAP = 2;

/** @typedef {{ words: number[], meaning: number, fit: number }} Phrase */

export class Meanings {
  /**
   * @param {Language} language
   * @param {Vocabulary} vocabulary which comes to know the words of all phrases
   */
  constructor({ filler, negations, reach, same, akin }, vocabulary) {
    const list = (/** @type {string} */ text) => new Set(text ? text.split(" ").map((word) => vocabulary.number(word)) : []);
    this.filler = vocabulary.filler = list(filler);
    this.negations = list(negations);
    this.before = reach[0];
    this.after = reach[1];
    this.count = 0;
    /** @type {(Phrase[] | undefined)[]} phrases of several words by their first */
    this.phrases = [];
    /** @type {(Phrase[] | undefined)[]} those of one word by it */
    this.alone = [];
    for (const [groups, fit] of /** @type {[string[], number][]} */ ([[same, FIT_SAME], [akin, FIT_AKIN]])) {
      for (const group of groups) {
        const meaning = this.count++;
        for (const phrase of group.split(",")) this.learn(this.row(phrase, vocabulary), meaning, fit);
      }
    }
  }

  /**
   * The numbers of a text's words; every negation has the same.
   * @param {string} text
   * @param {Vocabulary} vocabulary
   */
  row(text, vocabulary) {
    return wordsOf(text).map((word) => this.plain(vocabulary.number(word)));
  }

  /** @param {number} number */
  plain(number) {
    return this.negations.has(number) ? this.no : number;
  }

  /** The number of every negation. */
  get no() {
    const [first = -1] = this.negations;
    return first;
  }

  /**
   * @param {number[]} words
   * @param {number} meaning
   * @param {number} fit
   */
  learn(words, meaning, fit) {
    const [first] = words;
    if (words.length > 1) (this.phrases[first] ??= []).push({ words, meaning, fit });
    else (this.alone[first] ??= []).push({ words, meaning, fit });
  }

  /**
   * Phrases of several words that begin at a place of a row, each with the places of its words.
   * @param {number} at
   * @param {number} first a word that stands there
   * @param {(place: number, word: number) => boolean} stands whether a word stands at a place
   */
  *at(at, first, stands) {
    for (const phrase of this.phrases[first] || []) {
      const places = [at];
      for (const word of phrase.words.slice(1)) {
        const last = places[places.length - 1];
        let place = last + 1;
        while (place <= last + 1 + GAP && !stands(place, word)) place++;
        if (place > last + 1 + GAP) break;
        places.push(place);
      }
      if (places.length === phrase.words.length) yield { phrase, places };
    }
  }

  /**
   * Places that the negations of a row turn into their opposite.
   * @param {readonly boolean[]} negates by place
   * @param {readonly boolean[]} isFiller by place
   */
  negated(negates, isFiller) {
    /** @type {Set<number>} */
    const found = new Set();
    negates.forEach((is, k) => {
      if (!is) return;
      for (const [step, reach] of [[-1, this.before], [1, this.after]]) {
        for (let place = k + step, left = reach; left && place >= 0 && place < negates.length; place += step) {
          if (isFiller[place] || negates[place]) continue;
          found.add(place);
          left--;
        }
      }
    });
    return found;
  }
}
