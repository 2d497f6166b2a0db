/* What work costs together, by the formulas of builder/reckon/bill.py; a test holds every figure against the build's. */

/** @import { Amount, Bill, Costs, Prices, Settings, Work } from "../types.js" */

/** @type {Amount} */
const ZERO = [0, 0, 0];

/**
 * The mean of an amount (PERT; Malcolm et al. 1959).
 * @param {Amount} amount
 */
export const mean = (amount) => (amount[0] + 4 * amount[1] + amount[2]) / 6;

/**
 * @param {Amount} sum
 * @param {Amount} amount
 * @returns {Amount}
 */
const add = (sum, amount, factor = 1) => [sum[0] + amount[0] * factor, sum[1] + amount[1] * factor, sum[2] + amount[2] * factor];

/**
 * What a tool costs its owner.
 * @param {Prices} model
 * @param {string} tool
 * @param {Settings} settings
 * @returns {Amount}
 */
export function toolPrice(model, tool, settings) {
  const { price, borrow } = model.tools[tool];
  const how = settings.tools[tool];
  if (how === "own") return ZERO;
  return how === "borrow" && borrow ? borrow : price;
}

/**
 * Mean money that a step or an ending always takes: its cost and its parts.
 * @param {Prices} model
 * @param {Costs} node
 */
export const material = (model, node) => Object.entries(node.parts)
  .reduce((sum, [part, count]) => sum + mean(model.parts[part].price) * count, mean(node.cost));

/**
 * What a list of work costs together: tools and access jobs once, labour where only a shop may do it.
 * @param {Work[]} works
 * @param {Settings} settings
 * @returns {Bill}
 */
export function bill(works, settings) {
  let money = ZERO, shopMoney = ZERO, minutes = ZERO;
  /** @type {Bill["tools"]} */
  const tools = new Set();
  /** @type {Bill["parts"]} */
  const parts = new Map();
  /** @type {Bill["access"]} */
  const access = new Map();
  const rate = settings.rate / 60;
  for (const { model, node } of works) {
    money = add(money, node.cost);
    shopMoney = add(add(shopMoney, node.cost), node.time, rate);
    minutes = add(minutes, node.time);
    if (node.shop) money = add(money, node.time, rate);
    for (const [part, count] of Object.entries(node.parts)) {
      const price = model.parts[part].price;
      money = add(money, price, count);
      shopMoney = add(shopMoney, price, count);
      parts.set(part, (parts.get(part) || 0) + count);
    }
    for (const tool of node.tools) {
      if (!tools.has(tool)) money = add(money, toolPrice(model, tool, settings));
      tools.add(tool);
    }
    for (const job of node.access) {
      const { open, close } = model.access[job];
      const known = access.get(job);
      if (!known) minutes = add(add(minutes, open), close);
      access.set(job, { time: add(open, close), owner: !node.shop || Boolean(known && known.owner) });
    }
  }
  for (const { time, owner } of access.values()) {
    shopMoney = add(shopMoney, time, rate);
    if (!owner) money = add(money, time, rate);
  }
  return { money, shopMoney, minutes, tools, parts, access };
}
