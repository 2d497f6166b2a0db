/* What is still to come, by the formulas of builder/reckon/expect.py: exact at any size. */

/** @import { Model, Outlook, Settings, Work } from "../types.js" */
import { bill, material, mean, toolPrice } from "./bill.js";
import { chances, shares, sum } from "./odds.js";

/** @typedef {Map<string, Set<number>>} Users nodes by the tool or access job that they need */

/**
 * Figures carried back from where paths stop to every node, by cause.
 * @param {Model} model
 * @param {(i: number) => number[]} stop of a node where paths stop
 * @param {(i: number) => number[] | null} known of a node where nothing is carried from further on
 */
function back(model, stop, known) {
  /** @type {number[][]} */
  const rows = new Array(model.nodes.length);
  for (let i = rows.length - 1; i >= 0; i--) {
    const results = model.nodes[i].results;
    rows[i] = known(i) || (results
      ? rows[i + 1].map((_, c) => results.reduce((all, result) => all + rows[result.to][c] * chances(result)[c], 0))
      : stop(i));
  }
  return rows;
}

/**
 * Means still to come from a node on, to one with these weights who has done `before`; null where no cause is possible.
 * @param {Model} model
 * @param {number} start
 * @param {number[]} weights
 * @param {Work[]} before
 * @param {Settings} settings
 * @param {(i: number) => number[]} [stop] by cause, whether an end counts; by default every end does
 * @returns {Outlook | null}
 */
export function expect(model, start, weights, before, settings, stop = () => weights.map(() => 1)) {
  const now = shares(weights);
  if (!now) return null;
  const none = weights.map(() => 0);
  const worth = back(model, stop, () => null);
  const reach = model.nodes.map(() => none.slice());
  reach[start] = now.slice();
  const total = { money: 0, shopMoney: 0, minutes: 0 };
  const rate = settings.rate / 60;
  /** @type {{tools: Users, access: Users, owners: Users}} */
  const users = { tools: new Map(), access: new Map(), owners: new Map() };
  /** @type {(map: Users, name: string, i: number) => void} */
  const use = (map, name, i) => map.set(name, (map.get(name) || new Set()).add(i));
  for (let i = start; i < model.nodes.length; i++) {
    const node = model.nodes[i];
    for (const result of node.results || []) {
      chances(result).forEach((chance, c) => { reach[result.to][c] += reach[i][c] * chance; });
    }
    const passed = sum(reach[i].map((chance, c) => chance * worth[i][c]));
    if (!passed) continue;
    const spent = material(model, node);
    const time = mean(node.time);
    total.money += passed * (spent + (node.shop ? time * rate : 0));
    total.shopMoney += passed * (spent + time * rate);
    total.minutes += passed * time;
    for (const tool of node.tools) use(users.tools, tool, i);
    for (const job of node.access) {
      use(users.access, job, i);
      if (!node.shop) use(users.owners, job, i);
    }
  }
  /** @param {Set<number>} [nodes] */
  const meets = (nodes) => {
    if (!nodes) return 0;
    const met = back(model, () => none, (i) => (nodes.has(i) ? worth[i] : null))[start];
    return sum(met.map((figure, c) => figure * now[c]));
  };
  const done = bill(before, settings);
  for (const [tool, nodes] of users.tools) {
    const price = mean(toolPrice(model, tool, settings));
    if (price && !done.tools.has(tool)) total.money += price * meets(nodes);
  }
  for (const [job, nodes] of users.access) {
    const { open, close } = model.access[job];
    const time = mean(open) + mean(close);
    const known = done.access.get(job);
    const byOwner = meets(users.owners.get(job));
    const met = known ? 0 : meets(nodes);
    total.minutes += time * met;
    total.shopMoney += time * rate * met;
    if (!known) total.money += time * rate * (met - byOwner);
    else if (!known.owner) total.money -= time * rate * byOwner;
  }
  return total;
}
