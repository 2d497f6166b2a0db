/* What a job has come to: the work that was done in it, and its money and time. */

/** @import { Job, Leg, Means, Notes, Seen, Tried } from "../made/jobschema.js" */
/** @import { Amount, Costs, DoneWork, Model, Models, Prices, Settings, Work } from "../types.js" */
import { bill, mean } from "../reckon/bill.js";
import { nodeNamed } from "./stand.js";

/** @type {Prices} */
const NO_PRICES = { tools: {}, parts: {}, access: {} };

/**
 * Work of fixed figures: what a step or an ending counted for that is no longer in its playbook.
 * @param {Means} counted
 * @returns {Costs}
 */
function fixedWork({ money, minutes }) {
  /** @type {(figure: number) => Amount} */
  const fixed = (figure) => [figure, figure, figure];
  return { cost: fixed(money), time: fixed(minutes), wait: fixed(0), shop: false, tools: [], parts: {}, access: [] };
}

const NOTHING = fixedWork({ money: 0, minutes: 0 });

/** @param {Notes | undefined} notes */
const realOf = (notes) => ({ spent: notes && notes.spent, took: notes && notes.took });

/**
 * Works and endings that were done in a leg, in the order in which they were; what was known before cost nothing.
 * @param {Leg} leg
 * @returns {{name: string, entry: Seen | Tried}[]}
 */
export function doneIn(leg) {
  const seen = leg.seen.filter(({ known }) => !known).map((entry) => ({ name: entry.step, entry }));
  const tried = leg.tried.map((entry) => ({ name: entry.ending, entry }));
  return [...seen, ...tried].sort((a, b) => String(a.entry.at).localeCompare(String(b.entry.at)));
}

/**
 * Work done so far in the whole job, with money and time that were noted where nothing is done yet.
 * @param {Job} job
 * @param {Models} models
 */
export function done(job, models) {
  /** @type {DoneWork[]} */
  const works = [];
  for (const leg of job.legs) {
    const model = models[leg.slug];
    const all = doneIn(leg);
    for (const { name, entry } of all) {
      const node = model && nodeNamed(model, name);
      const real = realOf(leg.notes[name]);
      if (model && node) works.push({ model, node, real });
      else if (entry.counted) works.push({ model: NO_PRICES, node: fixedWork(entry.counted), real });
    }
    for (const [name, notes] of Object.entries(leg.notes)) {
      const noted = notes.spent !== undefined || notes.took !== undefined;
      if (noted && !all.some((one) => one.name === name)) works.push({ model: NO_PRICES, node: NOTHING, real: realOf(notes) });
    }
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
 * Means that a step or an ending adds to the work before it; never below nothing.
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
    const { spent, took } = works[k].real;
    money += isFigure(spent) ? spent : sum.money - before.money;
    minutes += isFigure(took) ? took : sum.minutes - before.minutes;
    real = real || isFigure(spent) || isFigure(took);
    before = sum;
  }
  return { money, minutes, real };
}
