/* A query: what somebody typed, as concepts to be ranked by. */

/** @import { Concept } from "./ranking.js" */
/** @import { Speech } from "./speech.js" */
/** @typedef {Map<number, number>} Fits what a typed word may mean, with how well each fits */
import { FIT_SAME } from "./meanings.js";
import { wordsOf } from "./terms.js";
import { FIT } from "./vocabulary.js";

/** How much a phrase counts, and how much each of its words beside it. */
const PHRASE = 0.9;
const COVERED = 0.35;
/** How much a figure counts: most are of no account. */
const FIGURE = 0.6;
/** How much better the opposite fits where the query asks for it. */
const NEGATED = 1.2;
/** A phrase of the query is trusted where each of its words fits so well. */
const SURE = 0.6;

/**
 * What a query asks for: concepts, and the words that nothing stands for.
 * @param {string} query
 * @param {Speech} speech
 * @param {boolean} begun whether its last word may still be typed
 */
export function asked(query, speech, begun) {
  const { meanings } = speech;
  const typed = typedWords(query, speech);
  const fits = typed.map((word, k) => meant(word, speech, begun && k === typed.length - 1));
  const negates = fits.map((fit) => fit.has(meanings.no));
  const isFiller = fits.map((fit) => [...fit].some(([word, how]) => how === 1 && speech.isFiller(word)));
  const negated = meanings.negated(negates, isFiller);
  const { phrases, covered } = phrasesIn(fits, speech);
  const says = typed.map((_, k) => !negates[k] && !isFiller[k]);
  const saysNothing = !says.some(Boolean) && !phrases.length;
  const concepts = typed.flatMap((word, k) =>
    (says[k] || saysNothing ? [{ terms: standIns(fits[k], speech, negated.has(k)), share: share(word, covered.has(k)) }] : []));
  return {
    concepts: [...concepts.filter(({ terms }) => terms.size), ...phrases],
    unknown: typed.filter((_, k) => says[k] && ![...fits[k].values()].some((fit) => fit > FIT.akin)),
  };
}

/**
 * @param {string} word
 * @param {boolean} covered
 */
function share(word, covered) {
  if (covered) return COVERED;
  return /^\p{N}/u.test(word) ? FIGURE : 1;
}

/**
 * The words of a query: two that are one word are joined, one that nobody knows is split into two that are known.
 * @param {string} query
 * @param {Speech} speech
 */
function typedWords(query, { vocabulary }) {
  /** @type {string[]} */
  const found = [];
  const words = wordsOf(query);
  for (let k = 0; k < words.length; k++) {
    const pair = words[k] + words[k + 1];
    if (k + 1 < words.length && vocabulary.known.has(pair)) {
      found.push(pair);
      k++;
      continue;
    }
    const parts = vocabulary.knows(words[k]) ? [] : vocabulary.split(words[k], vocabulary.joints.length ? vocabulary.joints : [""]);
    found.push(...(parts.length ? parts : [words[k]]));
  }
  return found;
}

/**
 * @param {string} word
 * @param {Speech} speech
 * @param {boolean} begun
 * @returns {Fits}
 */
function meant(word, { vocabulary, meanings }, begun) {
  const fits = vocabulary.meant(word, begun);
  const negates = [...fits].some(([number, fit]) => fit === 1 && meanings.negations.has(number));
  return negates ? new Map([[meanings.no, 1]]) : fits;
}

/**
 * The terms that may stand for a typed word.
 * @param {Fits} fits
 * @param {Speech} speech
 * @param {boolean} negated
 */
function standIns(fits, speech, negated) {
  /** @type {Fits} */
  const terms = new Map();
  const add = (/** @type {number} */ term, /** @type {number} */ fit) => {
    if (fit > (terms.get(term) || 0)) terms.set(term, fit);
    if (negated && NEGATED * fit > (terms.get(term + speech.half) || 0)) terms.set(term + speech.half, NEGATED * fit);
  };
  for (const [word, fit] of fits) {
    add(word, fit);
    for (const phrase of speech.meanings.alone[word] || []) add(speech.term(phrase.meaning), fit * phrase.fit);
  }
  return terms;
}

/**
 * Concepts of the phrases that a query holds, those that share words as one, and the places of their words.
 * @param {readonly Fits[]} fits
 * @param {Speech} speech
 * @returns {{ phrases: Concept[], covered: Set<number> }}
 */
function phrasesIn(fits, speech) {
  /** @type {{ places: Set<number>, terms: Fits }[]} */
  let found = [];
  const stands = (/** @type {number} */ place, /** @type {number} */ word) => (fits[place]?.get(word) || 0) >= SURE;
  const begins = fits.flatMap((fit, k) => [...fit.keys()].filter((word) => stands(k, word)).map((word) => ({ k, word })));
  for (const { k, word } of begins) {
    for (const { phrase, places } of speech.meanings.at(k, word, stands)) {
      if (phrase.fit < FIT_SAME) continue;
      const shares = found.filter((other) => places.some((place) => other.places.has(place)));
      const one = { places: new Set(places), terms: new Map([[speech.term(phrase.meaning), 1]]) };
      for (const other of shares) {
        for (const place of other.places) one.places.add(place);
        for (const [term, fit] of other.terms) one.terms.set(term, Math.max(fit, one.terms.get(term) || 0));
      }
      found = [...found.filter((other) => !shares.includes(other)), one];
    }
  }
  return {
    phrases: found.map(({ terms }) => ({ terms, share: PHRASE })),
    covered: new Set(found.flatMap(({ places }) => [...places])),
  };
}
