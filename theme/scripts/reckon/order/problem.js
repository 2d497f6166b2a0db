/* The problem of the order by the owner's own prices, as in builder/reckon/order/problem.py: free of names and pages. */

/** @import { Amount, EndingNode, Model, StepNode } from "../../types.js" */
/** @import { Fee, Item, Problem, Settings } from "./shapes.js" */
import { mean, toolPrice } from "../bill.js";
import { exactSum } from "../exact.js";

const UNLISTED = "unlisted";

/**
 * One amount taken so many times.
 * @param {Amount} amount
 * @param {number} factor
 * @returns {Amount}
 */
const times = (amount, factor) => [amount[0] * factor, amount[1] * factor, amount[2] * factor];

/**
 * Mean price of a tool: the owner's own price, or by whether they have it, borrow it or buy it.
 * @param {Model} model
 * @param {string} tool
 * @param {Settings} settings
 */
export function priceOfTool(model, tool, settings) {
  const own = settings.prices && settings.prices[tool];
  return own === undefined || settings.tools[tool] ? mean(toolPrice(model, tool, settings)) : own;
}

/**
 * Mean money of so many of a part, by the owner's own price if there is one.
 * @param {Model} model
 * @param {string} part
 * @param {number} count
 * @param {Settings} settings
 */
function priceOfParts(model, part, count, settings) {
  const own = settings.parts && settings.parts[part];
  return mean(times(own === undefined ? model.parts[part].price : [own, own, own], count));
}

/**
 * The fees of steps and endings, each by one number.
 * @param {Model} model
 * @param {Settings} settings
 */
function feesOf(model, settings) {
  /** @type {Fee[]} */
  const fees = [];
  /** @type {Map<string, number>} */
  const numbers = new Map();
  /** @param {Fee} fee */
  const number = (fee) => {
    if (!fee.own && !fee.shop) return [];
    if (!numbers.has(fee.name)) numbers.set(fee.name, fees.push(fee) - 1);
    return [numbers.get(fee.name) || 0];
  };
  /** @param {string} name */
  const tool = (name) => {
    const price = priceOfTool(model, name, settings);
    return number({ name: `tool ${name}`, own: price, shop: price, ownMoney: price, shopMoney: price });
  };
  /** @param {string} name */
  const access = (name) => {
    const { open, close } = model.access[name];
    const hours = (mean(open) + mean(close)) / 60;
    const labour = hours * settings.rate;
    return number({ name: `access ${name}`, own: hours * settings.hour, shop: labour, ownMoney: 0, shopMoney: labour });
  };
  const avoid = model.avoid_danger;
  /** @param {string} name */
  const danger = (name) => number({ name: `hazard ${name}`, own: avoid, shop: avoid, ownMoney: 0, shopMoney: 0 });
  /**
   * Numbers of the fees of some work: those that are the owner's, and those of a shop.
   * @param {StepNode | EndingNode} node
   */
  const of = (node) => {
    const tools = node.tools.flatMap(tool);
    const jobs = node.access.flatMap(access);
    /** @type {(all: number[]) => number[]} */
    const sorted = (all) => all.sort((a, b) => a - b);
    if (node.shop) return { own: sorted(tools), shop: sorted(jobs) };
    const dangers = node.hazards.filter((name) => model.hazards[name].signal === "danger").sort();
    return { own: sorted([...tools, ...jobs, ...dangers.flatMap(danger)]), shop: [] };
  };
  return { fees, of };
}

/**
 * What a piece of work costs in the end by itself, and the money of it.
 * @param {Model} model
 * @param {StepNode | EndingNode} node
 * @param {Settings} settings
 */
function costOf(model, node, settings) {
  const parts = Object.entries(node.parts).map(([part, count]) => priceOfParts(model, part, count, settings));
  const hours = mean(node.time) / 60;
  if (node.shop) {
    const money = exactSum([mean(node.cost), ...parts, hours * settings.rate]);
    return { cost: money, money };
  }
  const money = exactSum([mean(node.cost), ...parts]);
  const mishap = node.mishap ? node.mishap.chance * mean(node.mishap.cost) : 0;
  return { cost: exactSum([money, hours * settings.hour, mishap]), money };
}

/**
 * The mean workshop price of an ending by itself: cost, parts and all time; no tools.
 * @param {Model} model
 * @param {EndingNode} node
 * @param {Settings} settings
 */
function alone(model, node, settings) {
  const rate = settings.rate / 60;
  const parts = Object.entries(node.parts).map(([part, count]) => priceOfParts(model, part, count, settings));
  const opening = node.access.flatMap((job) => [model.access[job].open, model.access[job].close])
    .map((amount) => mean(times(amount, rate)));
  return exactSum([mean(node.cost), ...parts, mean(times(node.time, rate)), ...opening]);
}

/**
 * What a professional takes for each cause who gets the car with the fault in it.
 * @param {Model} model
 * @param {EndingNode[]} endings
 * @param {Settings} settings
 */
function billsOf(model, endings, settings) {
  const prices = endings.map((node) => alone(model, node, settings));
  const { diagnosis, unlisted } = model.professional;
  const causes = model.causes || [];
  /** @type {Map<string, number>} */
  const known = new Map();
  causes.forEach(([cause], c) => {
    const settling = prices.filter((_, e) => endings[e].rights?.[c]);
    if (settling.length && cause !== UNLISTED) known.set(cause, Math.min(...settling));
  });
  const dearest = Math.max(0, ...known.values());
  if (unlisted) known.set(UNLISTED, mean(unlisted));
  const looking = mean(diagnosis) / 60 * settings.rate;
  return causes.map(([cause]) => looking + (known.get(cause) ?? dearest));
}

/**
 * The problem of a playbook; null where it has no odds.
 * @param {Model} model
 * @param {Settings} settings
 * @returns {Problem | null}
 */
export function problemOf(model, settings) {
  if (!model.prior) return null;
  const { fees, of } = feesOf(model, settings);
  /** @type {StepNode[]} */
  const steps = [];
  /** @type {EndingNode[]} */
  const endings = [];
  const order = [...model.listed.steps, ...model.listed.endings];
  for (const i of order) {
    const node = model.nodes[i];
    if (node.kind === "step") steps.push(node);
    else if (node.kind === "ending") endings.push(node);
  }
  const results = steps.map((node) => node.results.map((result) => result.name));
  const numbers = new Map(steps.map((node, s) => [node.name, s]));
  /** @type {(node: StepNode | EndingNode, place: number) => Item} */
  const item = (node, place) => ({
    name: node.name,
    node: order[place],
    ...costOf(model, node, settings),
    ...of(node),
    after: Object.entries(node.after).map(([step, names]) => {
      const s = numbers.get(step) ?? -1;
      const allowed = results[s].flatMap((name, r) => (!names.length || names.includes(name) ? [r] : []));
      return [s, new Set(allowed)];
    }),
  });
  return {
    weights: model.prior,
    fees,
    steps: steps.map((node, s) => item(node, s)),
    endings: endings.map((node, e) => item(node, steps.length + e)),
    results,
    chances: steps.map((node) => node.results.map((result) => result.chance || [])),
    settles: endings.map((node) => node.rights || []),
    bills: billsOf(model, endings, settings),
  };
}
