/* Which screen of the walk is shown: by what stands behind the # of the address, and where a job has come to. */

/** @import { Job, Leg } from "../made/jobschema.js" */
/** @import { EndingView, Models, StepView, View } from "../types.js" */
import { settings } from "../device/settings.js";
import { job as jobHere, openJobs } from "../device/store.js";
import { create, lastLeg, reach, stand } from "../job/job.js";
import { done } from "../job/tally.js";
import { h } from "../show/dom.js";
import { date } from "../show/figures.js";
import { Unloadable, model as playbook } from "../site/data.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { ending } from "./ending.js";
import { handOver } from "./handover.js";
import { drawList } from "./joblist.js";
import { fitMeter, meter } from "./meter.js";
import { button, cannotBeLoaded, title, toJobs } from "./pieces.js";
import { changes, fitAgain } from "./refit.js";
import { printAs } from "./report.js";
import { draw, focusTitle, keep, markReady, show, showProblem, takeTold } from "./stage.js";
import { gate, step } from "./step.js";
import { tail, takeAway } from "./tail.js";

/** Drawing waits for playbooks; a turn that another one has overtaken shows nothing. */
let turn = 0;

/** @param {boolean} focus whether this is another screen for whoever reads */
export async function route(focus) {
  printAs(null);
  const [, kind, name] = /^#(\w+)=([a-z0-9-]+)$/.exec(location.hash) || [];
  const mine = ++turn;
  try {
    if (kind === "start") await start(name);
    else if (kind === "job") await drawJob(name);
    else drawList();
  } catch (error) {
    show(
      title(say("This cannot be shown")),
      h("p", {}, say("The playbook cannot be loaded. It was removed from the site, or you are offline and have not kept the site on this device.")),
      toJobs());
    if (!(error instanceof Unloadable)) throw error;
  }
  if (mine !== turn) return;
  if (focus) focusTitle();
  markReady();
}

/** @param {string} slug */
async function start(slug) {
  const open = openJobs().filter((job) => lastLeg(job).slug === slug);
  const model = await playbook(slug);
  const begin = () => {
    const job = create(model, settings());
    keep(job);
    history.replaceState(null, "", `#job=${job.id}`);
    draw();
  };
  if (!open.length) begin();
  else {
    show(
      title(model.title),
      h("p", { class: "lead" }, say("You have an open job for this.")),
      h("div", { class: "results" },
        open.map((job) => h("a", { class: "button", href: `#job=${job.id}` }, say("Go on with “{name}” of {date}", { name: job.name, date: date(job.created) }))),
        button(say("Start a new job (another car, another fault)"), begin, "quiet")));
  }
}

/**
 * The models of all playbooks of a job and of the one that it hands over to, as far as they can be loaded.
 * @param {Job} job
 */
async function modelsOf(job) {
  /** @type {Models} */
  const models = Object.create(null);
  /** @param {string} slug */
  const take = async (slug) => { models[slug] = await playbook(slug).catch(() => null); };
  for (const { slug } of [...job.legs, ...job.elsewhere]) await take(slug);
  const leg = lastLeg(job);
  const model = models[leg.slug];
  const node = model && model.nodes[stand(model, leg).i];
  if (node && node.kind === "handover" && !(node.name in models)) await take(node.name);
  return models;
}

/** @param {string} id */
async function drawJob(id) {
  const mine = turn;
  const job = jobHere(id);
  if (!job) {
    show(title(say("This job is not on this device")), toJobs());
    return;
  }
  const models = await modelsOf(job);
  if (mine !== turn) return;
  const leg = lastLeg(job);
  const model = models[leg.slug];
  if (!model) {
    drawMissing(job, leg);
    return;
  }
  const where = stand(model, leg);
  /** @type {View} */
  const view = { job, models, leg, model, where, settings: settings(), before: done(job, models), node: model.nodes[where.i] };
  fitAgain(view);
  document.title = `${view.node.title} · ${job.name}`;
  const told = takeTold(job);
  show(
    meter(view),
    h("p", { class: "crumbs" }, h("a", { href: "#" }, say("Jobs")), " › ", h("a", { href: `${root}playbook/${leg.slug}.html` }, model.title)),
    ...changes(view),
    told === null ? null : h("p", { class: "told" }, told),
    screen(view),
    tail(view));
  printAs([job, models, view.settings]);
  fitMeter();
  showProblem();
}

/**
 * @param {View} view
 * @returns {view is StepView}
 */
const atStep = (view) => view.node.kind === "step";
/**
 * @param {View} view
 * @returns {view is EndingView}
 */
const atEnding = (view) => view.node.kind === "ending" && view.leg.ending !== null;

/** @param {View} view */
function screen(view) {
  const { leg, node } = view;
  if (node.kind === "handover") return handOver(view, node);
  if (node.banner.length && !(leg.read || []).includes(node.name)) return gate(view, node.name);
  if (node.kind === "ending" && !leg.ending) leg.ending = reach(node);
  return atStep(view) ? step(view) : atEnding(view) && ending(view);
}

/**
 * @param {Job} job
 * @param {Leg} leg
 */
function drawMissing(job, leg) {
  show(title(job.name), h("p", { class: "lead" }, cannotBeLoaded(leg.title)), takeAway(job, {}, settings()), toJobs());
}
