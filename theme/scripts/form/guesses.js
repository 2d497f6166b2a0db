/* The guesses that matter: by how much the cost in the end moves when a share or a chance is another one. */

/** @import { Model, Settings, StepNode } from "../types.js" */
import { noEvidence } from "../reckon/order/givens.js";
import { writtenFrom } from "../reckon/order/written.js";

/** By how much a guess may be off, of 1. */
export const OFF = 0.1;
/** The least difference that is told, as a part of the cost in the end. */
const TOLD = 0.01;

/**
 * @typedef {object} Guess
 * @property {number} cause
 * @property {StepNode | null} step null for the share of the cause itself
 * @property {number} result
 * @property {number} value what is said, of 1
 * @property {number} low the least cost in the end within the range
 * @property {number} high the most
 */

/** @param {Model} model @param {Settings} settings */
const inTheEnd = (model, settings) => writtenFrom(model, noEvidence(), settings)?.inTheEnd ?? null;

/** @param {number} part */
const within = (part) => Math.min(1, Math.max(0, part));

/**
 * Parts of 1 of which one is another and the others keep their proportions.
 * @param {number[]} parts
 * @param {number} which
 * @param {number} value
 */
function shifted(parts, which, value) {
  const others = parts.reduce((sum, part, k) => sum + (k === which ? 0 : part), 0);
  return parts.map((part, k) => (k === which ? value : others ? part * (1 - value) / others : (1 - value) / (parts.length - 1)));
}

/**
 * @param {Model} model
 * @param {StepNode} step
 * @param {number} result
 * @param {number} cause
 * @param {number} value
 * @returns {Model}
 */
function withChance(model, step, result, cause, value) {
  const column = shifted(step.results.map(({ chance }) => (chance || [])[cause]), result, value);
  const results = step.results.map((one, k) => ({ ...one, chance: (one.chance || []).map((part, c) => (c === cause ? column[k] : part)) }));
  return { ...model, nodes: model.nodes.map((node) => (node === step ? { ...step, results } : node)) };
}

/**
 * The guesses that move the cost in the end most, the strongest first.
 * @param {Model} model
 * @param {Settings} settings
 * @param {number} most how many are told
 * @returns {Guess[]}
 */
export function guesses(model, settings, most) {
  const { prior } = model, now = inTheEnd(model, settings);
  if (!prior || now === null) return [];
  /** @type {Guess[]} */
  const found = [];
  /** @type {(guess: Pick<Guess, "cause" | "step" | "result" | "value">, change: (value: number) => Model) => void} */
  const weigh = (guess, change) => {
    const costs = [within(guess.value - OFF), within(guess.value + OFF)].map((value) => inTheEnd(change(value), settings) ?? now);
    found.push({ ...guess, low: Math.min(now, ...costs), high: Math.max(now, ...costs) });
  };
  prior.slice(0, -1).forEach((value, cause) => weigh({ cause, step: null, result: 0, value }, (to) => ({ ...model, prior: shifted(prior, cause, to) })));
  for (const step of model.nodes.filter(/** @returns {node is StepNode} */ (node) => node.kind === "step" && node.results.length > 1)) {
    step.results.slice(0, -1).forEach(({ chance }, result) => (chance || []).forEach((value, cause) => {
      if (prior[cause]) weigh({ cause, step, result, value }, (to) => withChance(model, step, result, cause, to));
    }));
  }
  return found.filter(({ low, high }) => high - low > TOLD * now).sort((one, other) => (other.high - other.low) - (one.high - one.low)).slice(0, most);
}
