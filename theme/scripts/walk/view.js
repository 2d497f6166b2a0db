/* All that a screen of a job shows, from what is kept: its playbooks, where it stands, what was done, what is best. */

/** @import { Job, Leg } from "../made/jobschema.js" */
/** @import { Model, Models, PlaybookNode, Settings, Stand, View } from "../types.js" */
/** @import { Evidence, Prospect, Settings as Own } from "../reckon/order/shapes.js" */
import { settings } from "../device/settings.js";
import { car as carHere } from "../device/store.js";
import { evidenceOf, ownOf } from "../job/evidence.js";
import { current } from "../job/job.js";
import { nodeNamed, stand } from "../job/stand.js";
import { done } from "../job/tally.js";
import { prospect } from "../reckon/order/prospect.js";
import { owned } from "../reckon/owned.js";
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

/** What was found last, and for what: a screen that is drawn anew does not search again. @type {{key: string, found: Prospect | null}} */
let last = { key: "", found: null };

/**
 * @param {Model} model
 * @param {Evidence} evidence
 * @param {Own} own
 */
function prospectOf(model, evidence, own) {
  const key = JSON.stringify([model.slug, model.hash, evidence, own]);
  if (last.key !== key) last = { key, found: prospect(model, evidence, own) };
  return last.found;
}

/**
 * What comes next in a leg: a repair that waits for its proof, what is best for the owner, or what the playbook says.
 * @param {Model} model
 * @param {Leg} leg
 * @param {Stand} where
 * @param {Prospect | null} found
 * @param {boolean} isBest
 * @returns {{node: PlaybookNode, isOpen: boolean}}
 */
function nextOf(model, leg, where, found, isBest) {
  const tried = leg.tried.find(({ outcome }) => outcome === "open") || leg.tried.find(({ outcome }) => outcome !== "still");
  const ended = tried && nodeNamed(model, tried.ending);
  if (ended) return { node: ended, isOpen: false };
  const written = model.nodes[where.i];
  // Nobody is led away from a hand-over to another playbook: it knows more of the fault than this one.
  if (!where.spent && (!isBest || !found || written.kind === "handover")) return { node: written, isOpen: false };
  const best = found && found.best.kind !== "professional" ? model.nodes[found.best.node] : null;
  return { node: best || written, isOpen: !best };
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
  return { job, models, leg, model, settings: own, car: job.car && carHere(job.car.id), ...standing(job, models, leg, model, own, work) };
}

/**
 * Where a job stands and what comes next, from its evidence.
 * @param {Job} job
 * @param {Models} models
 * @param {Leg} leg
 * @param {Model} model
 * @param {Settings} own
 * @param {string} [work] a step or an ending that the owner goes back to
 */
export function standing(job, models, leg, model, own, work) {
  const where = stand(model, leg);
  const all = done(job, models);
  const evidence = evidenceOf(job, leg, models, all, own);
  const found = prospectOf(model, evidence, ownOf(leg, own));
  const isBest = own.way === "best" && found !== null;
  const chosen = work ? nodeNamed(model, work) : undefined;
  const next = nextOf(model, leg, where, found, isBest);
  const node = chosen || next.node;
  return { where, evidence, prospect: found, isBest, node, isOpen: !chosen && next.isOpen, again: Boolean(chosen), done: all, before: workBefore(job, models, leg, node) };
}

/**
 * All work that was done but that of one step or ending.
 * @param {Job} job
 * @param {Models} models
 * @param {Leg} leg
 * @param {PlaybookNode} node
 */
function workBefore(job, models, leg, node) {
  const others = job.legs.map((one) => (one === leg
    ? { ...one, seen: one.seen.filter(({ step }) => step !== node.name), tried: one.tried.filter(({ ending }) => ending !== node.name) }
    : one));
  return done({ ...job, legs: others }, models);
}
