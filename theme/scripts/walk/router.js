/* Which screen of the walk is shown: by what stands behind the # of the address, and where a job has come to. */

/** @import { EndingView, StepView, View } from "../types.js" */
import { isUnsaved } from "../device/disk.js";
import { settings } from "../device/settings.js";
import { job as jobHere, jobEntry } from "../device/store.js";
import { h } from "../show/dom.js";
import { Unloadable } from "../site/data.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { carPage } from "./cars.js";
import { choose } from "./choose.js";
import { ending } from "./ending.js";
import { handOver } from "./handover.js";
import { gate, isGated } from "./hazards.js";
import { drawList } from "./joblist.js";
import { knownScreen } from "./known.js";
import { fitMeter, meter } from "./meter.js";
import { cannotBeLoaded, title, toJobs } from "./pieces.js";
import { printAs } from "./printing.js";
import { changes, fitAgain } from "./refit.js";
import { reportScreen } from "./reportscreen.js";
import { shopping } from "./shopping.js";
import { focusTitle, markReady, show, showProblem, takeTold } from "./stage.js";
import { start } from "./opening.js";
import { step } from "./step.js";
import { tail } from "./tail.js";
import { takeAway } from "./takeaway.js";
import { viewOf } from "./view.js";

/** Drawing waits for playbooks; a turn that another one has overtaken shows nothing. */
let turn = 0;

/** What the address asks for; words that are not names count as none. */
function asked() {
  const fields = new URLSearchParams(location.hash.slice(1));
  /** @param {string} name */
  const field = (name) => {
    const text = fields.get(name);
    return text !== null && /^[a-z0-9-]+$/.test(text) ? text : undefined;
  };
  return { start: field("start"), job: field("job"), work: field("step"), slug: field("in"), screen: field("screen"), car: field("car") };
}

/**
 * Whether what is kept by a name has to do with this screen.
 * @param {string} name "" for everything
 */
export function isShown(name) {
  const { job } = asked();
  return !name || !name.startsWith("job:") || !job || name === jobEntry(job);
}

/** What has the focus is found again in a screen that is drawn anew. */
function focused() {
  const active = document.activeElement;
  if (!(active instanceof HTMLElement) || !active.closest("#walk")) return null;
  if (active.id) return `#${CSS.escape(active.id)}`;
  return active instanceof HTMLInputElement && active.name ? `input[name="${CSS.escape(active.name)}"]:checked` : null;
}

/** @param {boolean} focus whether this is another screen for whoever reads */
export async function route(focus) {
  printAs(null);
  const { start: slug, job, car, ...rest } = asked();
  const mine = ++turn;
  const place = focus ? null : focused();
  try {
    if (slug) await start(slug);
    else if (job) await drawJob(job, rest);
    else if (car) carPage(car);
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
  else if (place) {
    const again = document.querySelector(`#walk ${place}`);
    if (again instanceof HTMLElement) again.focus({ preventScroll: true });
  }
  if (isUnsaved()) showProblem();
  markReady();
}

/** @type {Record<string, (view: View) => HTMLElement>} */
const SCREENS = { known: knownScreen, choose, report: reportScreen, shopping };

/**
 * @param {string} id
 * @param {{slug?: string, work?: string, screen?: string}} rest
 */
async function drawJob(id, { screen, ...where }) {
  const mine = turn;
  const job = jobHere(id);
  if (!job) {
    show(title(say("This job is not on this device")), toJobs());
    return;
  }
  const view = await viewOf(job, where);
  if (mine !== turn) return;
  if (!view.model) {
    const { leg } = view;
    show(title(job.name), h("p", { class: "lead" }, cannotBeLoaded(leg.title)), takeAway(job, {}, settings()), toJobs());
    return;
  }
  fitAgain(view);
  const other = screen && Object.hasOwn(SCREENS, screen) ? SCREENS[screen] : null;
  document.title = `${view.node.title} · ${job.name}`;
  const told = takeTold(job);
  show(
    h("p", { class: "crumbs" }, h("a", { href: "#" }, say("Jobs")), h("span", {}, job.car ? `› ${job.car.name} ›` : "›"), h("a", { href: `${root}playbook/${view.leg.slug}.html` }, view.model.title)),
    meter(view),
    ...changes(view),
    told === null ? null : h("p", { class: "told" }, told),
    other ? other(view) : shown(view),
    other ? null : tail(view));
  printAs([job, view.models, view.settings]);
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
const atEnding = (view) => view.node.kind === "ending";

/** @param {View} view */
function shown(view) {
  const { node } = view;
  if (view.isOpen) return choose(view);
  if (node.kind === "handover") return handOver(view, node);
  if (isGated(view)) return gate(view);
  return atStep(view) ? step(view) : atEnding(view) && ending(view);
}
