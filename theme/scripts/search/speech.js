/* Speech: the terms of texts, in a library's language. A term is a number: first come the words, then the meanings of
   phrases, then the opposites of both. */

/** @import { Language } from "./shapes.js" */
import { Meanings } from "./meanings.js";
import { wordsOf } from "./terms.js";
import { Vocabulary } from "./vocabulary.js";

const MOST_TRIED = 12;

export class Speech {
  /** @param {Language} language */
  constructor(language) {
    this.words = language.words.split(" ");
    this.vocabulary = new Vocabulary(language);
    this.meanings = new Meanings(language, this.vocabulary);
    this.rows = this.words.map((word) => this.meanings.row(word, this.vocabulary));
    for (const row of this.rows) for (const word of row) this.vocabulary.said.add(word);
    this.vocabulary.close();
    /** How far the opposite of a term is from it; there are twice as many terms. */
    this.half = this.vocabulary.size + this.meanings.count;
    this.parts = this.words.map((word) => this.partsOf(word));
  }

  /** @param {number} meaning */
  term(meaning) {
    return this.vocabulary.size + meaning;
  }

  /** @param {number} word */
  isFiller(word) {
    return this.vocabulary.filler.has(word);
  }

  /**
   * The terms of a text, given by its words.
   * @param {readonly number[]} text
   */
  termsOf(text) {
    return this.termsIn(text.flatMap((number) => this.rows[number - 1]));
  }

  /**
   * The terms of the parts of the compounds in a text, given by its words.
   * @param {readonly number[]} text
   */
  partTermsOf(text) {
    return text.flatMap((number) => this.parts[number - 1]);
  }

  /**
   * The last part of a compound says what the whole is.
   * @param {string} text
   */
  partsOf(text) {
    const { vocabulary } = this;
    if (!vocabulary.joints.length) return [];
    return wordsOf(text).flatMap((word) => {
      const [left, right] = vocabulary.split(word).map((part) => [...(vocabulary.byBase.get(part) || [])]);
      return left ? [...left, ...right.flatMap((number) => this.termsIn([number]))] : [];
    });
  }

  /**
   * The terms of a row of words: the words, what they mean, and both turned into their opposite by a negation.
   * @param {readonly number[]} row
   */
  termsIn(row) {
    const { meanings } = this;
    /** @type {number[]} */
    const found = [];
    for (let k = 0; k < row.length; k++) {
      if (row[k] === meanings.no) continue;
      found.push(row[k]);
      for (const { meaning } of meanings.alone[row[k]] || []) found.push(this.term(meaning));
      if (!meanings.phrases[row[k]]) continue;
      for (const { phrase } of meanings.at(k, row[k], (place, word) => row[place] === word)) found.push(this.term(phrase.meaning));
    }
    return row.includes(meanings.no) ? [...found, ...this.opposites(row)] : found;
  }

  /**
   * The terms that the negations of a row turn into their opposite.
   * @param {readonly number[]} row
   */
  opposites(row) {
    const { meanings } = this;
    const places = meanings.negated(row.map((word) => word === meanings.no), row.map((word) => this.isFiller(word)));
    return [...places].flatMap((place) =>
      [row[place], ...(meanings.alone[row[place]] || []).map(({ meaning }) => this.term(meaning))].map((term) => term + this.half));
  }

  /**
   * Words of the library, as they are written, that look like some that it does not know.
   * @param {readonly string[]} unknown
   * @param {number} most
   */
  near(unknown, most) {
    const numbers = unknown.slice(0, most).flatMap((word) => this.vocabulary.lookAlikes(word).slice(0, MOST_TRIED));
    const written = numbers.flatMap((number) => {
      const k = this.rows.findIndex((row) => row.length === 1 && row[0] === number);
      return k < 0 || this.isFiller(number) ? [] : [this.words[k].replace(/^\P{L}+|\P{L}+$/gu, "")];
    });
    return [...new Set(written)].slice(0, most);
  }
}
