/* A job: what is known of one fault on one car, from the first step to the proof. Functions over plain data.

   A job has legs, one a playbook (a hand-over begins the next one). A leg holds evidence: what was seen at steps, in
   whatever order, and what was tried. No answer takes another one away; where the job stands follows from all of it. */

/** @import { Job, Leg, Means, Notes, Reading, Seen, Tried } from "../made/jobschema.js" */
/** @import { EndingNode, Model, Models, Result, Settings, Stand, StepNode } from "../types.js" */
import { expect } from "../reckon/expect.js";
import { nodeNamed, stand, triedAt } from "./stand.js";

export const now = () => new Date().toISOString();

/** A name for something new on this device. */
export const newId = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;

/**
 * The leg through a playbook that begins.
 * @param {Model} model
 * @returns {Leg}
 */
export const newLeg = (model) => ({ slug: model.slug, title: model.title, hash: model.hash, seen: [], tried: [], aside: [], notes: {} });

/**
 * @param {Model} model
 * @param {Settings} settings
 * @param {Job["car"]} [car]
 * @returns {Job}
 */
export function create(model, settings, car = null) {
  const means = model.prior && expect(model, 0, model.prior, [], settings);
  return {
    droplight: "job", version: 2, revision: 0, id: newId(), name: model.title.slice(0, 200), created: now(), updated: now(),
    state: "open", expected: means && { money: means.money, minutes: means.minutes }, car,
    legs: [newLeg(model)], read: [], waits: [],
  };
}

/**
 * Where a job stands: hand-overs that were taken are followed as long as the evidence leads to them.
 * @param {Job} job
 * @param {Models} models
 * @returns {{leg: Leg, model: Model | null, where: Stand | null}}
 */
export function current(job, models) {
  let [leg] = job.legs;
  const passed = new Set();
  for (;;) {
    passed.add(leg.slug);
    const model = models[leg.slug] || null;
    const where = model && stand(model, leg);
    const node = model && where ? model.nodes[where.i] : null;
    const open = job.legs.filter(({ slug }) => !passed.has(slug));
    // A playbook that cannot be loaded does not hold up the ones after it.
    const next = !model ? open[0] : node && node.kind === "handover" ? open.find(({ slug }) => slug === node.name) : undefined;
    if (!next) return { leg, model, where };
    leg = next;
  }
}

/**
 * What may be said with an answer.
 * @typedef {{means: Means, weights?: Record<string, number>, reading?: Reading, known?: boolean, source?: string}} Said
 */

/**
 * Note what was seen at a step; an earlier answer to it is replaced, all others stay.
 * @param {Leg} leg
 * @param {StepNode} node
 * @param {Result} result
 * @param {Said} said
 */
export function see(leg, node, result, { means, weights, reading, known, source }) {
  /** @type {Seen} */
  const seen = {
    step: node.name, title: node.title, result: result.name, expect: result.expect, hash: node.hash, at: now(), counted: means,
    ...(weights && { weights }), ...(reading && { reading }), ...(known && { known }), ...(source && { source }),
    ...(node.check && { check: node.check }),
  };
  const k = leg.seen.findIndex(({ step }) => step === node.name);
  if (k < 0) leg.seen.push(seen);
  else leg.seen[k] = seen;
  leg.aside = leg.aside.filter(({ work }) => work !== node.name);
}

/**
 * An answer that does not hold, or that was not given: it is as if the step had not been done.
 * @param {Leg} leg
 * @param {string} step
 */
export function takeBack(leg, step) {
  leg.seen = leg.seen.filter((one) => one.step !== step);
}

/**
 * @param {Leg} leg
 * @param {string} work
 * @param {Leg["aside"][number]["why"]} why
 */
export function setAside(leg, work, why) {
  leg.aside = [...leg.aside.filter((one) => one.work !== work), { work, why, at: now() }];
}

/**
 * @param {Leg} leg
 * @param {string} work
 */
export function fetchBack(leg, work) {
  leg.aside = leg.aside.filter((one) => one.work !== work);
}

/**
 * The notes beside a step or an ending, to be written to.
 * @param {Leg} leg
 * @param {string} work
 * @returns {Notes}
 */
export function notesOf(leg, work) {
  if (!Object.hasOwn(leg.notes, work)) leg.notes[work] = {};
  return leg.notes[work];
}

/**
 * An ending is done: a repair is to be proven, anything else closes the job. Trials of an earlier time stay with it.
 * @param {Job} job
 * @param {Leg} leg
 * @param {EndingNode} node
 * @param {Means} means
 */
export function finish(job, leg, node, means) {
  const before = triedAt(leg, node.name);
  /** @type {Tried} */
  const tried = { ending: node.name, title: node.title, hash: node.hash, at: now(), counted: means, outcome: node.repairs ? "open" : "left", trials: before ? before.trials : [] };
  leg.tried = [...leg.tried.filter(({ ending }) => ending !== node.name), tried];
  job.state = node.repairs ? "proving" : "done";
}

/**
 * An ending that was not done after all.
 * @param {Job} job
 * @param {Leg} leg
 * @param {string} ending
 */
export function undo(job, leg, ending) {
  leg.tried = leg.tried.filter((one) => one.ending !== ending);
  job.state = stateOf(job);
}

/**
 * What a job is, by what was tried in it; handing over is another matter.
 * @param {Job} job
 * @returns {Job["state"]}
 */
export function stateOf(job) {
  const outcomes = job.legs.flatMap(({ tried }) => tried.map(({ outcome }) => outcome));
  if (outcomes.includes("open")) return "proving";
  return outcomes.some((outcome) => outcome === "gone" || outcome === "left") ? "done" : "open";
}

/**
 * The fault came back: the repair counts as done, and its causes are ruled out.
 * @param {Job} job
 * @param {Tried} tried
 */
export function relapse(job, tried) {
  tried.trials = sorted([...tried.trials, { at: now(), clean: false }]);
  tried.outcome = "still";
  job.state = stateOf(job);
}

/**
 * Trials in the order of their dates.
 * @param {Tried["trials"]} trials
 */
const sorted = (trials) => trials.slice().sort((a, b) => String(a.at).localeCompare(String(b.at)));

/**
 * One more clean trial, now or at an earlier time.
 * @param {Job} job
 * @param {Tried} tried
 * @param {number} needed
 * @param {string} at
 */
export function prove(job, tried, needed, at) {
  tried.trials = sorted([...tried.trials, { at, clean: true }]);
  tried.outcome = cleanRow(tried) >= needed ? "gone" : "open";
  job.state = stateOf(job);
}

/**
 * @param {Job} job
 * @param {Tried} tried
 * @param {number} needed
 * @param {number} k number of the trial
 */
export function takeTrialBack(job, tried, needed, k) {
  tried.trials = tried.trials.filter((_, number) => number !== k);
  tried.outcome = cleanRow(tried) >= needed ? "gone" : "open";
  job.state = stateOf(job);
}

/**
 * Clean trials in a row since the repair.
 * @param {Tried} tried
 */
export function cleanRow(tried) {
  let row = 0;
  for (const trial of tried.trials) row = trial.clean ? row + 1 : 0;
  return row;
}

/** Two trials within so many minutes may be one. */
export const APART = 15;

/**
 * Whether there is a trial so near to a time that it may be the same one.
 * @param {Tried} tried
 * @param {string} at
 */
export const nearTrial = (tried, at) => tried.trials.some((one) => Math.abs(Date.parse(one.at) - Date.parse(at)) < APART * 60000);

/**
 * Whether a repair was done in this leg and did not hold.
 * @param {Leg} leg
 * @param {string} name
 */
export function hasFailed(leg, name) {
  const tried = triedAt(leg, name);
  return Boolean(tried && tried.outcome === "still");
}

/**
 * Bring the names of a leg up to those of its playbook, by the names that there were.
 * @param {Model} model
 * @param {Leg} leg
 */
export function renamed(model, leg) {
  leg.slug = model.slug;
  /** @param {string} name */
  const work = (name) => {
    if (nodeNamed(model, name)) return name;
    const node = model.nodes.find((one) => one.kind !== "handover" && one.was.includes(name));
    return node ? node.name : name;
  };
  for (const seen of leg.seen) {
    seen.step = work(seen.step);
    const node = nodeNamed(model, seen.step);
    const results = (node && node.results) || [];
    const result = results.find(({ name }) => name === seen.result) || results.find(({ was }) => was.includes(seen.result));
    if (result) seen.result = result.name;
  }
  for (const tried of leg.tried) tried.ending = work(tried.ending);
  for (const aside of leg.aside) aside.work = work(aside.work);
  leg.notes = Object.fromEntries(Object.entries(leg.notes).map(([name, notes]) => [work(name), notes]));
}
