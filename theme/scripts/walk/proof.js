/* After a repair: that the fault is gone is shown, not believed. */

/** @import { Tried } from "../made/jobschema.js" */
/** @import { EndingView, Proof } from "../types.js" */
import { cleanRow, nearTrial, now, prove as addClean, relapse, stateOf, takeTrialBack } from "../job/job.js";
import { sureAfter } from "../reckon/odds.js";
import { h, one } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { button, figure } from "./pieces.js";
import { announce, changeAndDraw, changeAndGo, once, tell } from "./stage.js";
import { local } from "./waits.js";

/**
 * Clean trials counted, until one can be sure.
 * @param {EndingView} view
 * @param {Tried} tried
 * @param {Proof} prove
 */
export function proof(view, tried, prove) {
  const { trials } = tried;
  const { needed, shows, trial } = prove;
  const clean = cleanRow(tried);
  const left = Math.max(0, needed - clean);
  const later = () => {
    const at = one(HTMLInputElement, "#trial-at").value;
    if (at && !Number.isNaN(Date.parse(at))) addTrial(view, tried, prove, new Date(at).toISOString());
  };
  return h("section", { class: "proof" },
    h("h2", {}, left ? say("Prove it") : say("Proven")),
    h("p", {}, h("b", {}, say("One trial: {trial}", { trial })), " ", say("While the fault was there it showed in {share} of the trials.", { share: figures.share(shows) })),
    h("dl", { class: "figures" },
      figure(say("Clean in a row"), `${clean} / ${needed}`),
      figure(say("Proof from your trials"), figures.share(sureAfter(shows, clean))),
      figure(say("Still to go"), String(left))),
    left ? null : h("p", { class: "lead" }, say("You can be 95 % sure and more that the fault is gone.")),
    h("div", { class: "results" },
      button(say("One more clean trial"), () => addTrial(view, tried, prove, now())),
      button(say("The fault came back"), () => comeBack(view, tried), "quiet")),
    h("details", {}, h("summary", {}, say("Enter a trial of another time")),
      h("p", {}, h("label", { for: "trial-at" }, say("When was it?")), " ",
        h("input", { id: "trial-at", type: "datetime-local", value: local(Date.now()), max: local(Date.now()) })),
      button(say("It was clean"), later, "small-button")),
    trials.length
      ? h("ol", { class: "trials" }, trials.map((trial, k) => h("li", {}, `${figures.day(trial.at)}: ${trial.clean ? say("clean") : say("fault showed")} `,
        button(say("Take it back"), () => back(view, tried, prove, k), "small-button"))))
      : null);
}

/**
 * @param {EndingView} view
 * @param {Tried} tried
 * @param {Proof} prove
 * @param {string} at
 */
function addTrial(view, tried, { needed, shows }, at) {
  if (view.used) return;
  const doubt = nearTrial(tried, at) && !confirm(say("There is a trial within a quarter of an hour of this one. Was this really a separate trial, with the car as it is when the fault shows?"));
  if (doubt || !once(view)) return;
  changeAndDraw(view, () => {
    addClean(view.job, tried, needed, at);
    const clean = cleanRow(tried);
    announce(say("{count} clean trials in a row; {sure} sure.", { count: clean, sure: figures.share(sureAfter(shows, clean)) }));
  });
}

/**
 * @param {EndingView} view
 * @param {Tried} tried
 * @param {Proof} prove
 * @param {number} k
 */
function back(view, tried, { needed }, k) {
  if (!confirm(say("Take this trial back?"))) return;
  changeAndDraw(view, () => {
    takeTrialBack(view.job, tried, needed, k);
    announce(say("The trial is taken back."));
  });
}

/**
 * A repair without trials of its own: the car is used as it failed.
 * @param {EndingView} view
 * @param {Tried} tried
 */
export function held(view, tried) {
  const { job, model } = view;
  const isGone = tried.outcome === "gone";
  const gone = () => changeAndDraw(view, () => {
    tried.outcome = "gone";
    job.state = stateOf(job);
  });
  return h("section", { class: "proof" },
    h("h2", {}, isGone ? say("Proven") : say("Prove it")),
    isGone
      ? h("p", { class: "lead" }, say("The job is done. If the fault comes back, open it again here."))
      : h("p", { class: "lead" }, say("Done, but not proven. Use the car the way in which the fault showed: {conditions}", { conditions: model.shows.join(" · ") || model.summary })),
    h("div", { class: "results" },
      isGone ? null : button(say("The fault is gone"), gone),
      button(say("The fault came back"), () => comeBack(view, tried), "quiet")));
}

/**
 * @param {EndingView} view
 * @param {Tried} tried
 */
function comeBack(view, tried) {
  if (!once(view)) return;
  const { job } = view;
  changeAndGo(view, () => {
    relapse(job, tried);
    tell(job, say("The repair did not hold. It still counts, its causes are ruled out, and nothing is bought twice. All your answers stay."));
  });
}
