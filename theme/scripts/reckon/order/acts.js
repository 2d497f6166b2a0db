/* What may be done at a body of evidence, and the signs that such a body is written in. */

/** @import { Action, Item } from "./shapes.js" */

/** The sign of a step that was not done. */
export const UNDONE = "\0";

/**
 * The sign of a result.
 * @param {number} result
 */
export const sign = (result) => String.fromCharCode(result + 1);

/**
 * The results of steps as signs.
 * @param {number[]} results -1 where a step was not done
 */
export const signs = (results) => results.map(sign).join("");

/** @param {Action} action */
export function low(action) {
  if (!action.open) return action.least;
  let total = action.fixed;
  for (const node of action.after) total += node.low;
  return total;
}

/** @param {Action} action */
export function high(action) {
  if (!action.open) return Infinity;
  let total = action.fixed;
  for (const node of action.after) total += node.high;
  return total;
}

/**
 * Whether all that an item needs has been done, with a result that allows it.
 * @param {Item} item
 * @param {string} seen
 */
export const mayFollow = (item, seen) => item.after.every(([step, results]) => results.has(seen.charCodeAt(step) - 1));

/** @type {Action} */
export const PROFESSIONAL = { kind: "professional", number: 0, fixed: 0, results: [], after: [], open: true, least: 0 };

/**
 * Steps that were not done: 1 for each, else 0.
 * @param {string} seen
 */
export const undone = (seen) => [...seen].map((one) => (one === UNDONE ? "1" : "0")).join("");

/**
 * @param {string} signed
 * @param {number} place
 * @param {string} one
 */
export const replaced = (signed, place, one) => signed.slice(0, place) + one + signed.slice(place + 1);

/**
 * Whether some result is likelier under one cause that is still possible than under another.
 * @param {number[][]} chances
 * @param {number[]} weights
 */
export const tells = (chances, weights) => {
  const possible = weights.flatMap((weight, c) => (weight > 0 ? [c] : []));
  return chances.some((row) => possible.some((c) => row[c] !== row[possible[0]]));
};
