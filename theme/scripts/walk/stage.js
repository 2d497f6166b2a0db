/* Where the walk is shown, and what every screen of it may do: draw anew, keep the job, tell. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { problem } from "../device/disk.js";
import { saveJob } from "../device/store.js";
import { one, put } from "../show/dom.js";
import { say } from "../site/words.js";

const place = one(HTMLElement, "#walk");
const live = one(HTMLElement, "#walk-live");
const trouble = one(HTMLElement, "#walk-problem");

/** @type {() => void} */
let redraw = () => {};
/** @type {{id: string, text: string} | null} */
let told = null;

/** @param {() => void} act what draws the screen that the address names */
export const drawnBy = (act) => { redraw = act; };
export const draw = () => redraw();

/** @param {...(Node | null | false)} children */
export const show = (...children) => place.replaceChildren(...children.filter((child) => child instanceof Node));

/** Put whoever reads at the beginning of a new screen. */
export function focusTitle() {
  scrollTo({ top: 0, behavior: "instant" });
  const title = place.querySelector("h1");
  if (title) title.focus({ preventScroll: true });
}

export const markReady = () => { place.dataset.ready = "yes"; };

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

/** @param {Job} job */
export function keepAndDraw(job) {
  keep(job);
  draw();
}

export function showProblem() {
  const kind = problem();
  trouble.hidden = !kind;
  if (!kind) return;
  put(trouble, kind === "full"
    ? say("The storage of this browser is full. The walk goes on, but is lost when you close the page: take the job away as a file first, or delete old jobs.")
    : say("This browser does not let the site keep anything. The walk goes on, but is lost when you close the page: take the job away as a file first."));
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
