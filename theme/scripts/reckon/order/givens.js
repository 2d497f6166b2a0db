/* Evidence by names, and where a search begins with it. */

/** @import { EndingNode, Model, StepNode } from "../../types.js" */
/** @import { Barred, Evidence, Givens, Item, Limits, Paid, Problem, Settings } from "./shapes.js" */
import { shares } from "../odds.js";
import { UNDONE, sign } from "./acts.js";
import { metBy } from "./fees.js";

/** @returns {Evidence} */
export const noEvidence = () =>
  ({ seen: {}, failed: [], paid: { tools: [], access: [], shop: [], dangers: [] }, spent: { money: 0, minutes: 0 } });

/**
 * The result of each step that is known, -1 where it was not done, and the weights of all its results.
 * @param {Model} model
 * @param {Evidence} evidence
 */
function known(model, evidence) {
  /** @type {Map<string, {result: number, weights: number[]}>} */
  const found = new Map();
  for (const node of model.nodes) {
    if (node.kind !== "step" || !Object.hasOwn(evidence.seen, node.name)) continue;
    const said = evidence.seen[node.name];
    const weights = node.results.map(({ name }) => (typeof said === "string" ? Number(name === said) : Math.max(0, said[name] || 0)));
    const most = Math.max(...weights);
    if (most > 0) found.set(node.name, { result: weights.indexOf(most), weights });
  }
  return found;
}

/**
 * Weights of the causes after all that is known; the same in whatever order it came. A result that nobody is sure of
 * counts by the weighted chances of all of the step's (virtual evidence; Pearl 1988).
 * @param {Model} model
 * @param {Evidence} evidence
 */
export function weightsOf(model, evidence) {
  const seen = known(model, evidence);
  let weights = [...(model.prior || [])];
  for (const sure of [true, false]) {
    for (const node of model.nodes) {
      const said = node.kind === "step" ? seen.get(node.name) : undefined;
      if (!said || !node.results || sure !== (typeof evidence.seen[node.name] === "string")) continue;
      weights = weights.map((weight, c) => {
        let likely = 0;
        node.results.forEach((result, r) => { likely += said.weights[r] * (result.chance?.[c] ?? 0); });
        return weight * likely;
      });
    }
  }
  for (const node of model.nodes) {
    if (node.kind !== "ending" || !evidence.failed.includes(node.name)) continue;
    weights = weights.map((weight, c) => (node.rights?.[c] ? 0 : weight));
  }
  return weights;
}

/**
 * Shares of the causes; null without odds, or where what was seen cannot be together.
 * @param {Model} model
 * @param {Evidence} evidence
 */
export const odds = (model, evidence) => (model.prior ? shares(weightsOf(model, evidence)) : null);

/**
 * What some steps and endings have paid for good, added to what was paid before.
 * @param {Model} model
 * @param {string[]} names
 * @param {Paid} [paid]
 * @returns {Paid}
 */
export function paidBy(model, names, paid = noEvidence().paid) {
  const tools = new Set(paid.tools), access = new Set(paid.access), shop = new Set(paid.shop), dangers = new Set(paid.dangers);
  for (const node of model.nodes) {
    if (node.kind === "handover" || !names.includes(node.name)) continue;
    for (const tool of node.tools) tools.add(tool);
    for (const job of node.access) (node.shop ? shop : access).add(job);
    if (!node.shop) for (const name of node.hazards) if (model.hazards[name].signal === "danger") dangers.add(name);
  }
  return { tools: [...tools], access: [...access], shop: [...shop].filter((job) => !access.has(job)), dangers: [...dangers] };
}

/**
 * Why the owner does not do some work at all; null where they may.
 * @param {StepNode | EndingNode} node
 * @param {Limits} limits
 * @returns {{why: "aside" | "hazard" | "tool", what: string} | null}
 */
function kept(node, { aside = [], without = [], lacking = [] }) {
  if (aside.includes(node.name)) return { why: "aside", what: node.name };
  if (node.shop) return null;
  const hazard = without.find((name) => node.hazards.includes(name));
  if (hazard !== undefined) return { why: "hazard", what: hazard };
  const tool = lacking.find((name) => node.tools.includes(name));
  return tool === undefined ? null : { why: "tool", what: tool };
}

/**
 * Fees of a problem that are met.
 * @param {Problem} problem
 * @param {Paid} paid
 */
function met(problem, { tools, access, shop, dangers }) {
  const own = new Set([
    ...tools.map((name) => `tool ${name}`), ...access.map((name) => `access ${name}`), ...dangers.map((name) => `hazard ${name}`),
  ]);
  const opened = new Set(shop.map((name) => `access ${name}`));
  /** @type {(names: Set<string>) => number[]} */
  const numbers = (names) => problem.fees.flatMap(({ name }, k) => (names.has(name) ? [k] : []));
  return metBy(problem, numbers(own), numbers(opened));
}

/**
 * Where a search begins.
 * @param {Problem} problem
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 * @returns {Givens}
 */
export function givensOf(problem, model, evidence, settings) {
  const seen = known(model, evidence);
  const limits = settings.limits || {};
  /** @param {Item[]} items */
  const out = (items) => new Set(items.flatMap(({ node: i }, number) => {
    const node = model.nodes[i];
    return node.kind !== "handover" && kept(node, limits) ? [number] : [];
  }));
  return {
    seen: problem.steps.map(({ name }) => sign(seen.get(name)?.result ?? -1)).join(""),
    failed: problem.endings.map(({ name }) => (evidence.failed.includes(name) ? "1" : "0")).join(""),
    weights: weightsOf(model, evidence),
    met: met(problem, evidence.paid),
    barred: out(problem.steps),
    closed: out(problem.endings),
    budget: limits.budget === undefined ? Infinity : limits.budget - evidence.spent.money,
  };
}

/**
 * What cannot come next, and why.
 * @param {Problem} problem
 * @param {Model} model
 * @param {Givens} givens
 * @param {Limits} limits
 * @param {(kind: "step" | "ending", number: number) => number} money that it would take
 * @returns {Barred[]}
 */
export function barredAt(problem, model, givens, limits, money) {
  /** @type {Barred[]} */
  const found = [];
  /** @type {(kind: "step" | "ending", item: Item, number: number) => void} */
  const add = (kind, item, number) => {
    const node = model.nodes[item.node];
    const out = node.kind === "handover" ? null : kept(node, limits);
    const missing = item.after.find(([step, results]) => !results.has(givens.seen.charCodeAt(step) - 1));
    if (out) found.push({ kind, name: item.name, ...out });
    else if (missing) found.push({ kind, name: item.name, why: "after", what: problem.steps[missing[0]].name });
    else if (money(kind, number) > givens.budget) found.push({ kind, name: item.name, why: "budget", what: "" });
  };
  problem.steps.forEach((item, s) => { if (givens.seen[s] === UNDONE) add("step", item, s); });
  problem.endings.forEach((item, e) => {
    const rights = problem.settles[e].some((right, c) => right && givens.weights[c] > 0);
    if (givens.failed[e] === "0" && rights) add("ending", item, e);
  });
  return found;
}
