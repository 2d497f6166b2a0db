/* What may come next for an owner, best first, from what they have seen and paid: all that one screen needs. */

/** @import { Model } from "../../types.js" */
/** @import { Action, Evidence, Node, Outcome, Prospect, Settings, Thing } from "./shapes.js" */
import { material, mean } from "../bill.js";
import { shares } from "../odds.js";
import { PROFESSIONAL, high, low, tells as isTelling } from "./acts.js";
import { Hunt, TOLERANCE } from "./andor.js";
import { barredAt, givensOf, odds } from "./givens.js";
import { settledFrom } from "./policy.js";
import { problemOf } from "./problem.js";
import { followed } from "./written.js";

/** Nodes of the search for one screen; chosen so that a slow telephone has it in a moment. */
export const EFFORT = 300;

/**
 * A search that has gone as far as it should; null without odds, or where what was seen cannot be together.
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 */
function begun(model, evidence, settings) {
  const problem = problemOf(model, settings);
  const now = odds(model, evidence);
  if (!problem || !now) return null;
  const givens = givensOf(problem, model, evidence, settings);
  return { problem, now, givens, hunt: new Hunt(problem, givens) };
}

/**
 * Everything for one screen.
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 * @param {number} [effort] nodes of the search
 * @returns {Prospect | null}
 */
export function prospect(model, evidence, settings, effort = EFFORT) {
  const start = begun(model, evidence, settings);
  if (!start) return null;
  const { problem, now, givens, hunt } = start;
  const { root } = hunt;
  const limits = settings.limits || {};
  hunt.solve(Math.ceil(effort / 2));
  const actions = allActions(hunt);
  actions.forEach((action, k) => deepen(hunt, action, Math.ceil(effort / 2 * (1 + (k + 1) / actions.length))));
  if (root.actions) hunt.update(root);
  const things = actions.map((action) => thingOf(model, evidence, settings, hunt, action));
  things.sort((a, b) => a.inTheEnd - b.inTheEnd);
  const cost = things[0].inTheEnd;
  const bound = Math.min(root.low / root.whole, cost);
  const best = things[0].kind === "professional" ? things[0] : things.find((one) => one.today && one.kind !== "professional");
  /** @type {(kind: "step" | "ending", number: number) => number} */
  const money = (kind, number) => (kind === "step" ? root.dues.steps : root.dues.endings)[number].money;
  const written = followed(problem, model, givens);
  return {
    odds: now, best: best || things[0], cost, bound, proven: cost - bound <= TOLERANCE * 10 * Math.max(cost, 1),
    settled: settledFrom(hunt, root) / root.whole,
    handOver: hunt.handedOver(root.weights, root.whole, root.dues) / root.whole,
    things, barred: barredAt(problem, model, givens, limits, money),
    written: written && { ...written, saves: written.inTheEnd - cost },
  };
}

/**
 * All that may come next, open, those that the search had no use for among them.
 * @param {Hunt} hunt
 */
function allActions(hunt) {
  const { root, problem } = hunt;
  /** @type {(kind: "step" | "ending", number: number) => Action} */
  const known = (kind, number) => hunt.open(root, (root.actions || []).find((one) => one.kind === kind && one.number === number)
    || (kind === "step" ? hunt.step(root, number) : hunt.repair(root, number)));
  const repairs = hunt.repairs.filter((e) => root.failed[e] === "0" && hunt.share(e, root.weights) > 0
    && hunt.may(problem.endings[e], root.seen, 0, root.dues.endings[e]));
  const steps = hunt.steps.filter((s) => root.seen[s] === "\0" && (hunt.needed.has(s) || isTelling(problem.chances[s], root.weights))
    && hunt.may(problem.steps[s], root.seen, 0, root.dues.steps[s]));
  const over = { ...PROFESSIONAL, fixed: hunt.handedOver(root.weights, root.whole, root.dues) };
  return [over, ...repairs.map((e) => known("ending", e)), ...steps.map((s) => known("step", s))];
}

/**
 * Search behind one action until its gap is closed or so many nodes were made in all.
 * @param {Hunt} hunt
 * @param {Action} action
 * @param {number} effort
 */
function deepen(hunt, action, effort) {
  while (hunt.effort < effort) {
    /** @type {Node | null} */
    let widest = null;
    for (const node of action.after) {
      const open = node.high - node.low > TOLERANCE * node.high;
      if (open && (!widest || node.high - node.low > widest.high - widest.low)) widest = node;
    }
    if (!widest) return;
    hunt.solve(hunt.effort + 1, widest);
  }
}

/**
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 * @param {Hunt} hunt
 * @param {Action} action
 * @returns {Thing}
 */
function thingOf(model, evidence, settings, hunt, action) {
  const { root, problem } = hunt;
  const ends = { inTheEnd: high(action) / root.whole, bound: low(action) / root.whole };
  if (action.kind === "professional") {
    const own = { money: 0, minutes: 0, cost: 0 };
    return { kind: action.kind, name: "", node: -1, chance: null, own, workshop: ends.inTheEnd, ...ends, today: true, results: [] };
  }
  const isStep = action.kind === "step";
  const item = (isStep ? problem.steps : problem.endings)[action.number];
  const paid = (isStep ? root.dues.steps : root.dues.endings)[action.number];
  const node = model.nodes[item.node];
  const opening = node.access.filter((job) => !evidence.paid.access.includes(job))
    .reduce((all, job) => all + mean(model.access[job].open) + mean(model.access[job].close), 0);
  const minutes = node.shop ? 0 : mean(node.time) + opening;
  const left = settings.limits?.minutes;
  return {
    kind: action.kind, name: item.name, node: item.node,
    chance: isStep ? null : hunt.share(action.number, root.weights) / root.whole,
    own: { money: paid.money, minutes, cost: paid.cost },
    workshop: material(model, node) + (mean(node.time) + opening) * settings.rate / 60,
    ...ends,
    today: left === undefined || minutes <= left,
    results: isStep ? outcomes(hunt, action) : [outcome(hunt, "", action.after[0])],
  };
}

/**
 * What each result of a step would change.
 * @param {Hunt} hunt
 * @param {Action} action
 */
const outcomes = (hunt, action) => hunt.problem.results[action.number]
  .map((name, r) => outcome(hunt, name, action.after[action.results.indexOf(r)]));

/**
 * @param {Hunt} hunt
 * @param {string} name
 * @param {Node} [node] none where it cannot come up
 * @returns {Outcome}
 */
const outcome = ({ root }, name, node) => (node
  ? { name, chance: node.whole / root.whole, odds: shares(node.weights), inTheEnd: node.high / node.whole }
  : { name, chance: 0, odds: null, inTheEnd: null });

/**
 * What it costs to do without a step or an ending; null without odds.
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Settings} settings
 * @param {string} name
 * @param {number} [effort]
 */
export function without(model, evidence, settings, name, effort = EFFORT) {
  const limits = settings.limits || {};
  const { aside = [] } = limits;
  /** @param {string[]} set */
  const solved = (set) => {
    const start = begun(model, evidence, { ...settings, limits: { ...limits, aside: set } });
    if (!start) return null;
    const { whole, high: cost } = start.hunt.solve(effort);
    return { cost: cost / whole, settled: settledFrom(start.hunt, start.hunt.root) / whole };
  };
  const all = solved(aside.filter((one) => one !== name)), less = solved([...aside, name]);
  return all && less && {
    cost: all.cost, costWithout: less.cost, dearer: less.cost - all.cost, settled: all.settled, settledWithout: less.settled,
  };
}

/**
 * Which causes a step tells apart, those that it moves most first: the results that raise and lower each most.
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {string} step
 */
export function tells(model, evidence, step) {
  const now = odds(model, evidence);
  const node = model.nodes.find((one) => one.kind === "step" && one.name === step);
  if (!now || !node || !node.results) return [];
  const after = node.results.flatMap(({ name, chance }) => {
    const then = chance && shares(now.map((share, c) => share * chance[c]));
    return then ? [{ name, then }] : [];
  });
  const moved = now.map((share, cause) => {
    const sorted = [...after].sort((a, b) => b.then[cause] - a.then[cause]);
    const up = sorted[0], down = sorted[sorted.length - 1];
    return { cause, now: share, up: up.name, most: up.then[cause], down: down.name, least: down.then[cause] };
  });
  return moved.filter(({ most, least }) => most - least > 1e-9).sort((a, b) => (b.most - b.least) - (a.most - a.least));
}
