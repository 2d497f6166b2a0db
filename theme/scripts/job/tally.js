/* What a job has come to: the work that was done in it, and its money and time. */

/** @import { Answer, Ending, Extra, Job, Means } from "../made/jobschema.js" */
/** @import { Amount, Costs, DoneWork, Model, Models, Prices, Settings, Work } from "../types.js" */
import { bill, mean } from "../reckon/bill.js";
import { nodeNamed } from "./job.js";

/** @type {Prices} */
const NO_PRICES = { tools: {}, parts: {}, access: {} };

/**
 * What a step or ending counted for when it was done, for one that is no longer in its playbook.
 * @param {Means} counted
 * @returns {Costs}
 */
function gone({ money, minutes }) {
  /** @type {(figure: number) => Amount} */
  const fixed = (figure) => [figure, figure, figure];
  return { cost: fixed(money), time: fixed(minutes), wait: fixed(0), shop: false, tools: [], parts: {}, access: [] };
}

/**
 * Work done so far in the whole job, each with its answer or ending.
 * @param {Job} job
 * @param {Models} models
 */
export function done(job, models) {
  /** @type {DoneWork[]} */
  const works = [];
  for (const leg of [...job.elsewhere, ...job.legs]) {
    const model = models[leg.slug];
    /** @type {(name: string, entry: Answer | Ending | Extra) => void} */
    const take = (name, entry) => {
      const node = model && nodeNamed(model, name);
      if (model && node) works.push({ model, node, entry });
      else if (entry.counted) works.push({ model: NO_PRICES, node: gone(entry.counted), entry });
    };
    for (const entry of leg.extra) take(entry.step, entry);
    for (const answer of leg.way) take(answer.step, answer);
    if (leg.ending && leg.ending.done) take(leg.ending.name, leg.ending);
  }
  return works;
}

/**
 * What a step or an ending adds to the work before it: low, likely and high of money and time.
 * @param {Work[]} before
 * @param {Work} work
 * @param {Settings} settings
 */
export function added(before, work, settings) {
  const [after, earlier] = [bill([...before, work], settings), bill(before, settings)];
  /** @type {(kind: "money" | "minutes") => Amount} */
  const own = (kind) => {
    const [a, b] = [after[kind], earlier[kind]];
    return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  };
  return { money: own("money"), minutes: own("minutes") };
}

/**
 * Means that a step or ending adds to the work before it; never below nothing.
 * @param {Work[]} before
 * @param {Model} model
 * @param {Costs} node
 * @param {Settings} settings
 * @returns {Means}
 */
export function counted(before, model, node, settings) {
  const { money, minutes } = added(before, { model, node }, settings);
  return { money: Math.max(0, mean(money)), minutes: Math.max(0, mean(minutes)) };
}

/**
 * @param {unknown} value
 * @returns {value is number}
 */
const isFigure = (value) => typeof value === "number" && Number.isFinite(value) && value >= 0;

/**
 * Money and minutes so far: means, with what was really spent and how long it really took wherever that was noted.
 * @param {DoneWork[]} works
 * @param {Settings} settings
 */
export function soFar(works, settings) {
  let money = 0, minutes = 0, real = false;
  let before = { money: 0, minutes: 0 };
  for (let k = 0; k < works.length; k++) {
    const all = bill(works.slice(0, k + 1), settings);
    const sum = { money: mean(all.money), minutes: mean(all.minutes) };
    const { spent, took } = works[k].entry;
    money += isFigure(spent) ? spent : sum.money - before.money;
    minutes += isFigure(took) ? took : sum.minutes - before.minutes;
    real = real || isFigure(spent) || isFigure(took);
    before = sum;
  }
  return { money, minutes, real };
}
