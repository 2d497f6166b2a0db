/* Where the evidence of a leg stands in its playbook as it is written: results that are known are passed. Pure. */

/** @import { Leg, Seen } from "../made/jobschema.js" */
/** @import { Model, Passed, PlaybookNode, Result, Stand, StepNode } from "../types.js" */
import { weigh, weighSoft } from "../reckon/odds.js";

/**
 * The step or ending of a playbook that has a name.
 * @param {Model} model
 * @param {string} name
 */
export const nodeNamed = (model, name) => model.nodes.find((node) => node.kind !== "handover" && node.name === name);

/**
 * The step of a playbook that has a name.
 * @param {Model} model
 * @param {string} name
 * @returns {StepNode | null}
 */
export function stepNamed(model, name) {
  const node = nodeNamed(model, name);
  return node && node.kind === "step" ? node : null;
}

/**
 * What was seen at a step, if it was done and still has that result.
 * @param {Leg} leg
 * @param {PlaybookNode} node
 * @returns {{seen: Seen, result: Result} | null}
 */
export function seenAt(leg, node) {
  const seen = node.kind === "step" && leg.seen.find(({ step }) => step === node.name);
  const result = seen && node.results && node.results.find(({ name }) => name === seen.result);
  return seen && result ? { seen, result } : null;
}

/**
 * Whether a step or an ending is set aside.
 * @param {Leg} leg
 * @param {string} name
 */
export const asideOf = (leg, name) => leg.aside.find(({ work }) => work === name) || null;

/**
 * Whether the owner cannot or will not do a step or an ending: it is set aside, or their limits keep them from it.
 * @param {Leg} leg
 * @param {PlaybookNode} node
 */
export const isOut = (leg, node) => node.kind !== "handover" && (node.barred !== undefined || Boolean(asideOf(leg, node.name)));

/**
 * What was tried at an ending, if it was.
 * @param {Leg} leg
 * @param {string} name
 */
export const triedAt = (leg, name) => leg.tried.find(({ ending }) => ending === name) || null;

/**
 * Weights of the causes by all evidence of a leg; null without odds.
 * @param {Model} model
 * @param {Leg} leg
 */
export function weightsOf(model, leg) {
  let weights = model.prior;
  for (const node of weights ? model.nodes : []) {
    const known = seenAt(leg, node);
    if (weights && known) {
      weights = Object.keys(known.seen.weights || {}).length && node.results
        ? weighSoft(weights, node.results, known.seen.weights || {})
        : weigh(weights, known.result);
    }
    const tried = node.kind === "ending" && triedAt(leg, node.name);
    if (weights && tried && tried.outcome === "still" && node.kind === "ending") {
      const { rights } = node;
      weights = weights.map((weight, c) => (rights && rights[c] ? 0 : weight));
    }
  }
  return weights;
}

/**
 * The result that is the likeliest by some weights.
 * @param {StepNode} node
 * @param {number[] | null} weights
 */
function likeliest(node, weights) {
  /** @param {Result} result */
  const chance = (result) => (weights ? weigh(weights, result).reduce((sum, weight) => sum + weight, 0) : 0);
  return node.results.reduce((most, result) => (chance(result) > chance(most) ? result : most));
}

/**
 * Where a leg stands: steps that were answered are passed, steps that are set aside by their likeliest result, where
 * there are odds to tell it. A way that comes to nothing new is `spent`.
 * @param {Model} model
 * @param {Leg} leg
 * @returns {Stand}
 */
export function stand(model, leg) {
  const weights = weightsOf(model, leg);
  /** @type {Passed[]} */
  const passed = [];
  let i = 0;
  for (;;) {
    const node = model.nodes[i];
    if (node.kind !== "step") break;
    const known = seenAt(leg, node);
    const guess = !known && weights && isOut(leg, node) ? likeliest(node, weights) : null;
    const result = known ? known.result : guess;
    if (!result) break;
    passed.push({ i, seen: known && known.seen, result });
    i = result.to;
  }
  const node = model.nodes[i];
  const onWay = new Set(passed.map((one) => model.nodes[one.i].name));
  const tried = node.kind === "ending" ? triedAt(leg, node.name) : null;
  return {
    i, weights, passed,
    off: leg.seen.filter(({ step }) => !onWay.has(step) && stepNamed(model, step)),
    lost: leg.seen.filter(({ step }) => !stepNamed(model, step)),
    spent: node.kind === "ending" && (tried ? tried.outcome === "still" : isOut(leg, node)),
  };
}
