/* All that a screen of a job shows, from what is kept: its playbooks, where it stands, what was done. */

/** @import { Job, Leg } from "../made/jobschema.js" */
/** @import { Model, Models, PlaybookNode, Settings, Stand, View } from "../types.js" */
import { settings } from "../device/settings.js";
import { car as carHere } from "../device/store.js";
import { current } from "../job/job.js";
import { nodeNamed, stand } from "../job/stand.js";
import { done } from "../job/tally.js";
import { owned } from "../reckon/own.js";
import { model as playbook } from "../site/data.js";

/**
 * The models of all playbooks of a job and of the one that it hands over to, as far as they can be loaded.
 * @param {Job} job
 * @param {Settings} own
 */
async function modelsOf(job, own) {
  /** @type {Models} */
  const models = Object.create(null);
  /** @param {string} slug */
  const take = async (slug) => {
    const model = await playbook(slug).catch(() => null);
    models[slug] = model && owned(model, own);
  };
  for (const { slug } of job.legs) await take(slug);
  const { model, where } = current(job, models);
  const node = model && where ? model.nodes[where.i] : null;
  if (node && node.kind === "handover" && !(node.name in models)) await take(node.name);
  return models;
}

/**
 * The step or ending that comes next in a leg as its playbook is written; a repair that waits for its proof goes before it.
 * @param {Model} model
 * @param {Leg} leg
 * @param {Stand} where
 */
function nextNode(model, leg, where) {
  const proving = leg.tried.find(({ outcome, ending }) => outcome === "open" && nodeNamed(model, ending));
  const closed = leg.tried.find(({ outcome, ending }) => (outcome === "gone" || outcome === "left") && nodeNamed(model, ending));
  const tried = proving || closed;
  return (tried && nodeNamed(model, tried.ending)) || model.nodes[where.i];
}

/**
 * @param {Job} job
 * @param {{slug?: string, work?: string}} asked a step or an ending that the owner goes back to
 * @returns {Promise<View | {leg: Leg, model: null, models: Models}>}
 */
export async function viewOf(job, { slug, work } = {}) {
  const own = settings();
  const models = await modelsOf(job, own);
  const here = current(job, models);
  const leg = job.legs.find((one) => one.slug === slug) || here.leg;
  const model = models[leg.slug];
  if (!model) return { leg, model: null, models };
  const where = stand(model, leg);
  const chosen = work ? nodeNamed(model, work) : undefined;
  const node = chosen || nextNode(model, leg, where);
  return {
    job, models, leg, model, where, settings: own, node, again: Boolean(chosen), car: job.car && carHere(job.car.id),
    ...workOf(job, models, leg, node),
  };
}

/**
 * All work that was done, and all of it but that of one step or ending.
 * @param {Job} job
 * @param {Models} models
 * @param {Leg} leg
 * @param {PlaybookNode} node
 */
export function workOf(job, models, leg, node) {
  const others = job.legs.map((one) => (one === leg
    ? { ...one, seen: one.seen.filter(({ step }) => step !== node.name), tried: one.tried.filter(({ ending }) => ending !== node.name) }
    : one));
  return { done: done(job, models), before: done({ ...job, legs: others }, models) };
}
