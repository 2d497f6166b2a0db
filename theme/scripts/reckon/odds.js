/* Chances of the causes, by the formulas of builder/reckon/odds.py and trials.py. */

/** @import { Result } from "../types.js" */

/**
 * Chances of a result by cause; none in a playbook without odds, where there are no weights to ask with.
 * @param {Result} result
 */
export const chances = (result) => result.chance || [];

/** @param {number[]} figures */
export const sum = (figures) => figures.reduce((whole, figure) => whole + figure, 0);

/**
 * Weights of the causes after one more result; divide by their sum for shares (Bayes' rule).
 * @param {number[]} weights
 * @param {Result} result
 */
export const weigh = (weights, result) => weights.map((weight, c) => weight * chances(result)[c]);

/**
 * Weights of the causes after an answer that is not sure: each result by how strongly the answer speaks for it (virtual
 * evidence; Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, section 2.2.2). Only the ratios count.
 * @param {number[]} weights
 * @param {Result[]} results
 * @param {Record<string, number>} spoken by the results' names
 */
export const weighSoft = (weights, results, spoken) =>
  weights.map((weight, c) => weight * sum(results.map((result) => (spoken[result.name] || 0) * chances(result)[c])));

/**
 * Shares of the causes; null where none of them is possible.
 * @param {number[]} weights
 */
export function shares(weights) {
  const whole = sum(weights);
  return whole > 0 ? weights.map((weight) => weight / whole) : null;
}

/**
 * How sure one can be that a fault is gone after so many clean trials.
 * @param {number} shows the share of trials in which it showed
 * @param {number} clean
 */
export const sureAfter = (shows, clean) => 1 - (1 - shows) ** clean;
