/* What is known already when a playbook begins: by common checks of the same job, of other jobs of the same car on the
   same day, and by what is known of the car itself. It is always shown and can be taken back. */

/** @import { Car, Job, Leg, Seen } from "../made/jobschema.js" */
/** @import { Model, StepNode } from "../types.js" */
import { see } from "./job.js";

/** @typedef {{check: string, result: string, at: string, source: string, seen: Seen | null}} Known */

/** @param {string} at */
const today = (at) => new Date(at).toDateString() === new Date().toDateString();

/**
 * Common checks that were done in some legs.
 * @param {Leg[]} legs
 * @param {string} source
 * @returns {Known[]}
 */
const knownIn = (legs, source) => legs.flatMap(({ seen }) => seen
  .filter(({ check, weights }) => check && !Object.keys(weights || {}).length)
  .map((one) => ({ check: one.check || "", result: one.result, at: one.at, source, seen: one })));

/**
 * All that is known beyond a playbook, the nearest first: its own job, the car, other jobs of the car of today.
 * @param {Job} job
 * @param {Leg} leg
 * @param {Car | null} car
 * @param {Job[]} others
 */
export function knownBeyond(job, leg, car, others) {
  const facts = car ? car.facts.map((fact) => ({ ...fact, source: car.name, seen: null })) : [];
  const near = car ? others.filter((one) => one.id !== job.id && one.car && one.car.id === car.id) : [];
  return [
    ...knownIn(job.legs.filter((one) => one !== leg).reverse(), job.name),
    ...facts,
    ...near.flatMap((one) => knownIn(one.legs, one.name)).filter(({ at }) => today(at)),
  ];
}

/**
 * Take what is known along into a leg; gives the steps that it answered.
 * @param {Leg} leg
 * @param {Model} model
 * @param {Known[]} known
 */
export function carry(leg, model, known) {
  /** @type {StepNode[]} */
  const answered = [];
  for (const node of model.nodes) {
    if (node.kind !== "step" || !node.check || leg.seen.some(({ step }) => step === node.name)) continue;
    const found = known.find(({ check, result }) => check === node.check && node.results.some(({ name }) => name === result));
    const result = found && node.results.find(({ name }) => name === found.result);
    if (!found || !result) continue;
    const reading = found.seen && found.seen.reading;
    see(leg, node, result, { means: { money: 0, minutes: 0 }, known: true, source: found.source, ...(reading && { reading }) });
    answered.push(node);
  }
  return answered;
}
