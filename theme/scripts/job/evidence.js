/* What is known in a leg and paid in its job, as the search for the best order takes it. Pure. */

/** @import { Job, Leg } from "../made/jobschema.js" */
/** @import { DoneWork, Models, Settings } from "../types.js" */
/** @import { Evidence, Settings as Own } from "../reckon/order/shapes.js" */
import { noEvidence, paidBy } from "../reckon/order/givens.js";
import { seenAt } from "./stand.js";
import { doneIn, soFar } from "./tally.js";

/**
 * @param {Job} job
 * @param {Leg} leg
 * @param {Models} models
 * @param {DoneWork[]} done
 * @param {Settings} settings
 * @returns {Evidence}
 */
export function evidenceOf(job, leg, models, done, settings) {
  const model = models[leg.slug];
  /** @type {Evidence["seen"]} */
  const seen = {};
  for (const node of model ? model.nodes : []) {
    const known = seenAt(leg, node);
    if (known) seen[node.name] = Object.keys(known.seen.weights || {}).length ? known.seen.weights || {} : known.result.name;
  }
  const paid = job.legs.reduce((so, one) => {
    const its = models[one.slug];
    return its ? paidBy(its, doneIn(one).map(({ name }) => name), so) : so;
  }, noEvidence().paid);
  return { seen, failed: leg.tried.filter(({ outcome }) => outcome === "still").map(({ ending }) => ending), paid, spent: soFar(done, settings) };
}

/**
 * The owner's settings with what is set aside in a leg.
 * @param {Leg} leg
 * @param {Settings} settings
 * @returns {Own}
 */
export const ownOf = (leg, settings) => ({ ...settings, limits: { ...settings.limits, aside: leg.aside.map(({ work }) => work) } });
