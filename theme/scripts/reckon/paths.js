/* The ways through a playbook, one by one; only where they are few. */

/** @import { Model, Settings, Work } from "../types.js" */
import { bill, material, mean, toolPrice } from "./bill.js";
import { shares, sum, weigh } from "./odds.js";

/** The most ways that are gone through one by one. */
export const LISTABLE = 10000;

/**
 * How many ways lead from each node to where paths stop.
 * @param {Model} model
 */
export function pathCounts(model) {
  /** @type {number[]} */
  const counts = new Array(model.nodes.length).fill(1);
  for (let i = counts.length - 1; i >= 0; i--) {
    const results = model.nodes[i].results;
    if (results) counts[i] = sum(results.map((result) => counts[result.to]));
  }
  return counts;
}

/**
 * The nodes of every path from the start.
 * @param {Model} model
 */
export function paths(model) {
  /** @type {number[][]} */
  const found = [];
  /** @type {(i: number, before: number[]) => void} */
  const walk = (i, before) => {
    const nodes = [...before, i];
    const { results } = model.nodes[i];
    if (results) results.forEach((result) => walk(result.to, nodes));
    else found.push(nodes);
  };
  walk(0, []);
  return found;
}

/**
 * Mean money and chance of every way on that can happen, adding up as it goes.
 * @param {Model} model
 * @param {number} start
 * @param {number[]} weights
 * @param {Work[]} before
 * @param {Settings} settings
 */
function spendings(model, start, weights, before, settings) {
  /** @type {{chance: number, money: number}[]} */
  const ways = [];
  const rate = settings.rate / 60;
  const whole = sum(weights);
  /** @param {string} job */
  const openings = (job) => (mean(model.access[job].open) + mean(model.access[job].close)) * rate;
  const own = model.nodes.map((node) => material(model, node) + (node.shop ? mean(node.time) * rate : 0));
  /** @type {(i: number, left: number[], money: number, tools: Set<string>, owners: Map<string, boolean>) => void} */
  const walk = (i, left, money, tools, owners) => {
    const chance = sum(left) / whole;
    if (!chance) return;
    const node = model.nodes[i];
    let spent = money + own[i];
    const buy = node.tools.filter((tool) => !tools.has(tool));
    for (const tool of buy) spent += mean(toolPrice(model, tool, settings));
    const opened = node.access.length ? new Map(owners) : owners;
    for (const job of node.access) {
      const byOwner = opened.get(job);
      if (byOwner === undefined && node.shop) spent += openings(job);
      if (byOwner === false && !node.shop) spent -= openings(job);
      opened.set(job, byOwner || !node.shop);
    }
    if (!node.results) ways.push({ chance, money: spent });
    const bought = buy.length ? new Set([...tools, ...buy]) : tools;
    for (const result of node.results || []) walk(result.to, weigh(left, result), spent, bought, opened);
  };
  const done = bill(before, settings);
  walk(start, weights, 0, done.tools, new Map([...done.access].map(([job, { owner }]) => [job, owner])));
  return ways;
}

/**
 * For each share: the least money such that so many of the cases stay within it; null where paths are too many.
 * @param {Model} model
 * @param {number} start
 * @param {number[]} weights
 * @param {Work[]} before
 * @param {Settings} settings
 * @param {number[]} wanted
 */
export function within(model, start, weights, before, settings, wanted) {
  if (pathCounts(model)[start] > LISTABLE || !shares(weights)) return null;
  const ways = spendings(model, start, weights, before, settings).sort((a, b) => a.money - b.money);
  return wanted.map((share) => {
    let reached = 0;
    for (const way of ways) {
      reached += way.chance;
      if (reached >= share - 1e-12) return way.money;
    }
    return ways[ways.length - 1].money;
  });
}
