/* Where the walk is shown, and what every screen of it may do: draw anew, change the job, tell. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { isUnsaved, problem } from "../device/disk.js";
import { job as jobHere, saveJob } from "../device/store.js";
import { one, put } from "../show/dom.js";
import { say } from "../site/words.js";

const place = one(HTMLElement, "#walk");
const live = one(HTMLElement, "#walk-live");
const trouble = one(HTMLElement, "#walk-problem");

/** @type {(focus: boolean) => void} */
let redraw = () => {};
/** @type {{id: string, text: string} | null} */
let told = null;

/** @param {(focus: boolean) => void} act what draws the screen that the address names */
export const drawnBy = (act) => { redraw = act; };
/** @param {boolean} [focus] whether it is another screen for whoever reads */
export const draw = (focus = true) => redraw(focus);

/** @param {...(Node | null | false)} children */
export const show = (...children) => place.replaceChildren(...children.filter((child) => child instanceof Node));

/** Put whoever reads at the beginning of a new screen. */
export function focusTitle() {
  scrollTo({ top: 0, behavior: "instant" });
  const title = place.querySelector("h1");
  if (title) title.focus({ preventScroll: true });
}

export const markReady = () => { place.dataset.ready = "yes"; };

/** Whether somebody is writing into the screen, which must not be drawn anew under their hands. */
export const isWriting = () => document.activeElement instanceof HTMLElement
  && document.activeElement.matches("#walk textarea, #walk input:not([type='checkbox'], [type='radio'], [type='file'])");

/** @param {string} hash */
export function go(hash) {
  if (location.hash === hash) draw();
  else location.hash = hash;
}

/** @param {string} text */
export const announce = (text) => { live.textContent = text; };

/**
 * Say on the next screen of a job what has changed.
 * @param {Job} job
 * @param {string} text
 */
export function tell(job, text) {
  told = { id: job.id, text };
  announce(text);
}

/**
 * What was to be told on this screen.
 * @param {Job} job
 */
export function takeTold(job) {
  if (!told || told.id !== job.id) return null;
  const { text } = told;
  told = null;
  return text;
}

/** @param {Job} job */
export function keep(job) {
  saveJob(job);
  showProblem();
}

/**
 * The job as it is kept, if another window has changed it since this screen was drawn.
 * @param {Job} job
 */
function newer(job) {
  const kept = jobHere(job.id);
  return kept && kept.revision !== job.revision ? kept : null;
}

/**
 * Change the job and keep it. A screen that is behind draws what there is now first, and changes nothing.
 * @param {View} view
 * @param {() => void} act
 */
export function change(view, act) {
  const { job } = view;
  if (newer(job) || !jobHere(job.id)) {
    tell(job, say("This job was changed in another window. Here is how it stands now; nothing was overwritten."));
    draw();
    return false;
  }
  act();
  keep(job);
  return true;
}

/**
 * Change the job and go to the next thing; the screen that is left stays one step back.
 * @param {View} view
 * @param {() => void} act
 */
export function changeAndGo(view, act) {
  if (!change(view, act)) return;
  const { job, node, leg, again } = view;
  if (!again && node.kind !== "handover") history.replaceState(null, "", workAddress(job, leg.slug, node.name));
  go(jobAddress(job));
}

/**
 * Change the job and draw where it stands then.
 * @param {View} view
 * @param {() => void} act
 * @param {boolean} [focus] whether that is another screen for whoever reads
 */
export function changeAndDraw(view, act, focus = true) {
  if (change(view, act)) draw(focus);
}

/**
 * Write what belongs to the owner's own words and figures, which no other window can contradict: into the job as it is.
 * @param {View} view
 * @param {(job: Job) => void} act
 */
export function writeDown(view, act) {
  const kept = newer(view.job);
  act(view.job);
  if (!kept) keep(view.job);
  else {
    act(kept);
    keep(kept);
  }
}

/** @param {Job} job */
export const jobAddress = ({ id }) => `#job=${id}`;

/**
 * @param {Job} job
 * @param {string} slug
 * @param {string} work
 */
export const workAddress = ({ id }, slug, work) => `#job=${id}&step=${work}&in=${slug}`;

/**
 * @param {Job} job
 * @param {string} screen
 */
export const screenAddress = ({ id }, screen) => `#job=${id}&screen=${screen}`;

export function showProblem() {
  const kind = problem();
  trouble.hidden = !kind;
  if (!kind) return;
  put(trouble, kind === "full"
    ? say("The storage of this browser is full. The walk goes on, but is lost when you close the page: take the job away as a file first, or delete old jobs.")
    : say("This browser does not let the site keep anything. The walk goes on, but is lost when you close the page: take the job away as a file first."));
}

/** Closing the page asks first while something would be lost with it. */
export function guardUnsaved() {
  addEventListener("beforeunload", (event) => { if (isUnsaved()) event.preventDefault(); });
}

/**
 * Whether a screen may still act: the second of two quick taps must not answer the next step.
 * @param {View} view
 */
export function once(view) {
  const first = !view.used;
  view.used = true;
  return first;
}
