/* One path of a playbook, or its beginning: what was done, what was seen, and what that makes of the odds. */

/** @import { Model, PlaybookNode, Settings } from "../types.js" */
import { bill } from "../reckon/bill.js";
import { shares, sum, weigh } from "../reckon/odds.js";

/**
 * The nodes on the way of some results, as far as the playbook has them, and the results themselves.
 * @param {Model} model
 * @param {string[]} names
 */
export function course(model, names) {
  /** @type {PlaybookNode[]} */
  const nodes = [model.nodes[0]];
  /** @type {import("../types.js").Result[]} */
  const results = [];
  for (const name of names) {
    const result = (nodes[nodes.length - 1].results || []).find((one) => one.name === name || one.was.includes(name));
    if (!result) break;
    results.push(result);
    nodes.push(model.nodes[result.to]);
  }
  return { nodes, results };
}

/**
 * Shares of the causes after some results, the chance of seeing them, and how often the last node puts the fault right.
 * @param {Model} model
 * @param {ReturnType<typeof course>} way
 */
export function backed(model, { nodes, results }) {
  if (!model.prior) return null;
  const weights = results.reduce((left, result) => weigh(left, result), model.prior);
  const causes = shares(weights);
  const last = nodes[nodes.length - 1];
  const rights = last.kind === "ending" ? last.rights : null;
  return { chance: sum(weights), causes, settled: causes && rights ? sum(causes.filter((_, c) => rights[c])) : null };
}

/**
 * Likely money and minutes that each node adds to those before it, and what all cost together.
 * @param {Model} model
 * @param {PlaybookNode[]} nodes
 * @param {Settings} own
 */
export function costs(model, nodes, own) {
  const works = nodes.map((node) => ({ model, node }));
  const sums = works.map((_, k) => bill(works.slice(0, k + 1), own));
  const added = sums.map(({ money, minutes }, k) => (k ? [money[1] - sums[k - 1].money[1], minutes[1] - sums[k - 1].minutes[1]] : [money[1], minutes[1]]));
  return { added, whole: sums[sums.length - 1] };
}

