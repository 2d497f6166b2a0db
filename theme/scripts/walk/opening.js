/* The beginning of a walk: a new job, or one that is open for the same playbook already. */

/** @import { Car, Job } from "../made/jobschema.js" */
/** @import { Model } from "../types.js" */
import { settings } from "../device/settings.js";
import { cars, jobs, openJobs } from "../device/store.js";
import { carOf } from "../job/car.js";
import { carry, knownBeyond } from "../job/carry.js";
import { create } from "../job/job.js";
import { owned } from "../reckon/owned.js";
import { h } from "../show/dom.js";
import { model as playbook } from "../site/data.js";
import { say } from "../site/words.js";
import { takenAlong } from "./handover.js";
import { jobLine } from "./jobline.js";
import { button, title } from "./pieces.js";
import { draw, jobAddress, keep, show, tell } from "./stage.js";

/**
 * @param {Model} model
 * @param {Car | null} car
 */
function begin(model, car) {
  const own = settings();
  const job = create(owned(model, own), own, car && carOf(car));
  const taken = carry(job.legs[0], model, knownBeyond(job, job.legs[0], car, jobs().sound));
  if (taken.length) tell(job, takenAlong(taken));
  keep(job);
  history.replaceState(null, "", jobAddress(job));
  draw();
}

/** @param {string} slug */
export async function start(slug) {
  const model = await playbook(slug);
  const known = cars();
  const open = openJobs().filter(({ legs }) => legs.some((leg) => leg.slug === model.slug || leg.slug === slug));
  if (!open.length && known.length < 2) {
    begin(model, known[0] || null);
    return;
  }
  document.title = model.title;
  show(
    title(model.title),
    open.length ? h("p", { class: "lead" }, say("You have an open job for this.")) : h("p", { class: "lead" }, say("Which car is it?")),
    h("div", { class: "results" },
      open.map((job) => h("a", { class: "button", href: jobAddress(job) }, say("Go on with “{name}”", { name: jobName(job) }), h("small", {}, jobLine(job)))),
      known.map((car) => button(open.length ? say("Start a new job: {car}", { car: car.name }) : car.name, () => begin(model, car), open.length ? "quiet" : "")),
      button(known.length ? say("Another car") : say("Start a new job (another car, another fault)"), () => begin(model, null), "quiet")));
}

/** @param {Job} job */
const jobName = (job) => (job.car && !job.name.includes(job.car.name) ? `${job.car.name}: ${job.name}` : job.name);
