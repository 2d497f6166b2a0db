/* A job in a line: state, last touched, what comes next, money so far. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { Model, Models } from "../types.js" */
import { settings } from "../device/settings.js";
import { current } from "../job/job.js";
import { done, soFar } from "../job/tally.js";
import { waiting } from "../job/wait.js";
import { owned } from "../reckon/owned.js";
import { date, day, money } from "../show/figures.js";
import { model as playbook } from "../site/data.js";
import { say } from "../site/words.js";
import { stateName } from "./pieces.js";

/** @param {Job} job */
export function jobLine(job) {
  const [wait] = waiting(job);
  return [stateName(job), wait && say("waits until {day}", { day: day(wait.until) }), say("begun {date}", { date: date(job.created) })].filter(Boolean).join(" · ");
}

/**
 * Where a job stands, for whoever looks at a list of them: what comes next and what was spent.
 * @param {Job} job
 */
export async function standing(job) {
  /** @type {Models} */
  const models = Object.create(null);
  const own = settings();
  for (const { slug } of job.legs) {
    const model = await playbook(slug).catch(() => null);
    models[slug] = model && owned(model, own);
  }
  const { model, where } = current(job, models);
  const spent = soFar(done(job, models), own);
  const next = model && where && (job.state === "open" || job.state === "proving") ? nextTitle(job, model, where.i) : "";
  return { next, spent: money(spent.money) };
}

/**
 * @param {Job} job
 * @param {Model} model
 * @param {number} i
 */
function nextTitle(job, model, i) {
  const open = job.legs.flatMap(({ tried }) => tried).find(({ outcome }) => outcome === "open");
  return open ? open.title : model.nodes[i].title;
}
