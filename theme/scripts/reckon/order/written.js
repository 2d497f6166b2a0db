/* The order as written, followed from a body of evidence: what it costs in the end, exactly, by one pass over the graph. */

/** @import { Model, PlaybookNode } from "../../types.js" */
/** @import { Evidence, Fee, Givens, Item, Problem, Settings } from "./shapes.js" */
import { exactSum } from "../exact.js";
import { givensOf } from "./givens.js";
import { problemOf } from "./problem.js";

/**
 * A node as the written order comes to it: where it leads if that is known, else what it is in the problem.
 * @typedef {{node: PlaybookNode, leads: number, step: number, ending: number}} Place
 */

/**
 * The places of a playbook: steps that are known lead on; what the owner does not do, or has done in vain, ends there.
 * @param {Problem} problem
 * @param {Model} model
 * @param {Givens} givens
 * @returns {Place[]}
 */
function placesOf(problem, model, givens) {
  /** @type {(items: Item[]) => Map<number, number>} */
  const numbers = (items) => new Map(items.map(({ node }, number) => [node, number]));
  const steps = numbers(problem.steps), endings = numbers(problem.endings);
  return model.nodes.map((node, i) => {
    const s = steps.get(i) ?? -1, e = endings.get(i) ?? -1;
    const result = s < 0 ? -1 : givens.seen.charCodeAt(s) - 1;
    const leads = result >= 0 && node.results ? node.results[result].to : -1;
    const open = e >= 0 && givens.failed[e] === "0" && !givens.closed.has(e);
    return { node, leads, step: givens.barred.has(s) ? -1 : s, ending: open ? e : -1 };
  });
}

/**
 * What following the written order from this evidence comes to; null without odds.
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 */
export function writtenFrom(model, evidence, settings) {
  const problem = problemOf(model, settings);
  if (!problem) return null;
  const found = followed(problem, model, givensOf(problem, model, evidence, settings));
  return found && { ...found, saves: 0 };
}

/**
 * @param {Problem} problem
 * @param {Model} model
 * @param {Givens} givens
 */
export function followed(problem, model, givens) {
  const whole = exactSum(givens.weights);
  if (!(whole > 0)) return null;
  const places = placesOf(problem, model, givens);
  let first = 0;
  while (places[first].leads >= 0) first = places[first].leads;
  const reach = places.map(() => givens.weights.map(() => 0));
  reach[first] = [...givens.weights];
  /** @type {number[]} */
  const costs = [];
  /** @type {number[]} */
  const settled = [];
  places.forEach(({ node, leads, step, ending }, i) => {
    const row = reach[i];
    const share = exactSum(row);
    if (leads >= 0) row.forEach((weight, c) => { reach[leads][c] += weight; });
    else if (step >= 0 && node.results) {
      costs.push(share * problem.steps[step].cost);
      node.results.forEach(({ to, chance }) => row.forEach((weight, c) => { reach[to][c] += weight * (chance?.[c] ?? 0); }));
    } else {
      if (ending >= 0) costs.push(share * problem.endings[ending].cost);
      row.forEach((weight, c) => {
        if (ending >= 0 && problem.settles[ending][c]) settled.push(weight);
        else costs.push(weight * problem.bills[c]);
      });
    }
  });
  problem.fees.forEach((fee, number) => costs.push(...feeCosts(problem, givens, places, first, fee, number)));
  const { node } = places[first];
  const next = { kind: node.kind, name: node.name, node: first };
  return { next, inTheEnd: exactSum(costs) / whole, settled: exactSum(settled) / whole };
}

/**
 * What a fee adds: its price by the chance that somebody who needs it is met.
 * @param {Problem} problem
 * @param {Givens} givens
 * @param {Place[]} places
 * @param {number} first
 * @param {Fee} fee
 * @param {number} number
 */
function feeCosts(problem, givens, places, first, fee, number) {
  const sign = givens.met[number];
  if (sign === "2") return [];
  /** @type {(field: "own" | "shop", place: Place) => boolean} */
  const uses = (field, { leads, step, ending }) => leads < 0
    && ((step >= 0 && problem.steps[step][field].includes(number)) || (ending >= 0 && problem.endings[ending][field].includes(number)));
  /** @param {(place: Place) => boolean} user */
  const meets = (user) => {
    /** @type {number[][]} */
    const rows = new Array(places.length);
    for (let i = places.length - 1; i >= first; i--) {
      const { node, leads, step } = places[i];
      if (user(places[i])) rows[i] = givens.weights.map(() => 1);
      else if (leads >= 0) rows[i] = rows[leads];
      else if (step >= 0 && node.results) {
        const { results } = node;
        rows[i] = givens.weights.map((_, c) => exactSum(results.map(({ to, chance }) => rows[to][c] * (chance?.[c] ?? 0))));
      } else rows[i] = givens.weights.map(() => 0);
    }
    return exactSum(givens.weights.map((weight, c) => weight * rows[first][c]));
  };
  const byOwner = meets((place) => uses("own", place));
  const byAny = sign === "1" ? exactSum(givens.weights) : meets((place) => uses("own", place) || uses("shop", place));
  return [fee.own * byOwner, fee.shop * (byAny - byOwner)];
}
