/* A job: one fault on one car, from the first step to the proof. Pure functions over plain data.

   A job has legs, one a playbook (a hand-over starts the next one). A leg has its way (answers given), its ending if
   one is reached, what was done and left again (`extra`, which still counts), and causes ruled out by a repair that
   did not hold. Legs that an earlier answer has led away from stand in `elsewhere`; what was done in them counts too. */

/** @import { Answer, Draft, Ending, Extra, Job, Leg, Means } from "../made/jobschema.js" */
/** @import { EndingNode, Misfit, Model, Result, Settings, Stand, StepNode } from "../types.js" */
import { expect } from "../reckon/expect.js";
import { weigh } from "../reckon/odds.js";

export const now = () => new Date().toISOString();

/**
 * The leg through a playbook that begins.
 * @param {Model} model
 * @returns {Leg}
 */
export const newLeg = (model) => ({ slug: model.slug, title: model.title, hash: model.hash, way: [], ending: null, extra: [], ruledOut: [] });

/**
 * @param {Model} model
 * @param {Settings} settings
 * @returns {Job}
 */
export function create(model, settings) {
  const id = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
  const means = model.prior && expect(model, 0, model.prior, [], settings);
  return {
    droplight: "job", version: 1, id, name: model.title.slice(0, 200), created: now(), updated: now(), state: "open",
    expected: means && { money: means.money, minutes: means.minutes }, legs: [newLeg(model)], elsewhere: [],
  };
}

/** @param {Job} job */
export const lastLeg = (job) => job.legs[job.legs.length - 1];

/**
 * The step or ending of a playbook that has a name.
 * @param {Model} model
 * @param {string} name
 */
export const nodeNamed = (model, name) => model.nodes.find((node) => node.kind !== "handover" && node.name === name);

/**
 * Where a leg stands in its playbook as it is now, and what no longer fits.
 * @param {Model} model
 * @param {Leg} leg
 * @returns {Stand}
 */
export function stand(model, leg) {
  let i = 0;
  let weights = model.prior;
  const nodes = [];
  /** @type {Misfit[]} */
  const misfits = [];
  for (const [k, answer] of leg.way.entries()) {
    const node = model.nodes[i];
    if (node.kind !== "step" || node.name !== answer.step) {
      misfits.push({ from: k, why: "step", answer });
      break;
    }
    const result = node.results.find((one) => one.name === answer.result);
    if (!result) {
      misfits.push({ from: k, why: "result", answer });
      break;
    }
    if (answer.hash && answer.hash !== node.hash) misfits.push({ from: null, why: "text", answer });
    nodes.push(i);
    weights = weights && weigh(weights, result);
    i = result.to;
  }
  const { causes } = model;
  if (weights && causes) weights = weights.map((weight, c) => (leg.ruledOut.includes(causes[c][0]) ? 0 : weight));
  return { i, weights, nodes, misfits };
}

/**
 * Notes and real figures of an entry, as far as there are any.
 * @param {Draft | Answer} entry
 */
const realOf = ({ note, spent, took }) =>
  Object.fromEntries(Object.entries({ note, spent, took }).filter(([, value]) => value !== undefined));

/**
 * What of an answer stays when it is taken back.
 * @param {Answer} answer
 * @returns {Draft}
 */
export const draftOf = (answer) => ({ step: answer.step, ...realOf(answer) });

/**
 * Note an answer, with the notes that were made before it was given.
 * @param {Leg} leg
 * @param {StepNode} node
 * @param {Result} result
 * @param {Means} means
 */
export function answer(leg, node, result, means) {
  const draft = leg.draft && leg.draft.step === node.name ? realOf(leg.draft) : {};
  delete leg.draft;
  leg.way.push({
    step: node.name, title: node.title, result: result.name, expect: result.expect, hash: node.hash, at: now(),
    counted: means, ...draft,
  });
}

/**
 * The ending that a way has come to, before it is done.
 * @param {EndingNode} node
 * @returns {Ending}
 */
export const reach = (node) => ({ name: node.name, title: node.title, at: now(), done: false, trials: [] });

/**
 * An ending as work that was done and left again.
 * @param {Ending} ending
 * @returns {Extra}
 */
export const left = ({ name, ...ending }) => ({ step: name, ...ending });

/**
 * One screen back: an ending that was done is open again, else the last answer is as if it had not been given.
 * @param {Job} job
 */
export function back(job) {
  const leg = lastLeg(job);
  const last = leg.way[leg.way.length - 1];
  job.state = "open";
  if (leg.ending && leg.ending.done) {
    leg.ending.done = false;
    delete leg.ending.doneAt;
  } else if (last) {
    leg.ending = null;
    leg.way.pop();
    leg.draft = draftOf(last);
  } else if (job.legs.length > 1) {
    job.legs.pop();
    if (leg.extra.length) job.elsewhere.push(leg);
  }
}

/**
 * A leg that is led away from: all that was done in it still counts.
 * @param {Leg} leg
 * @returns {Leg}
 */
function folded(leg) {
  const ended = leg.ending && leg.ending.done ? [left(leg.ending)] : [];
  return { ...leg, way: [], ending: null, extra: [...leg.extra, ...leg.way, ...ended] };
}

/**
 * Give an earlier answer again; the steps after it were done and still count.
 * @param {Job} job
 * @param {number} legNumber
 * @param {number} k number of the answer in the leg
 */
export function change(job, legNumber, k) {
  job.elsewhere.push(...job.legs.splice(legNumber + 1).map(folded).filter(({ extra }) => extra.length));
  const leg = job.legs[legNumber];
  const [changed, ...after] = leg.way.splice(k);
  leg.extra.push(...after);
  if (leg.ending && leg.ending.done) leg.extra.push(left(leg.ending));
  leg.ending = null;
  leg.draft = draftOf(changed);
  job.state = "open";
}

/**
 * The fault came back: the repair counts as done, its causes are ruled out, and the last step is looked at again.
 * @param {Job} job
 * @param {Ending} ending
 * @param {EndingNode} node
 * @param {Model} model
 */
export function relapse(job, ending, node, model) {
  const leg = lastLeg(job);
  leg.extra.push({ ...left(ending), trials: [...ending.trials, { at: now(), clean: false }], failed: true });
  (model.causes || []).forEach(([cause], c) => {
    if (node.rights && node.rights[c] && !leg.ruledOut.includes(cause)) leg.ruledOut.push(cause);
  });
  leg.ending = null;
  const last = leg.way.pop();
  if (last) leg.extra.push(last);
  job.state = "open";
}

/**
 * Clean trials in a row since the repair.
 * @param {Ending} ending
 */
export function cleanRow(ending) {
  let row = 0;
  for (const trial of ending.trials) row = trial.clean ? row + 1 : 0;
  return row;
}

/**
 * Whether a repair was done in this leg and did not hold.
 * @param {Leg} leg
 * @param {string} name
 */
export const hasFailed = (leg, name) => leg.extra.some((one) => one.failed && one.step === name);
