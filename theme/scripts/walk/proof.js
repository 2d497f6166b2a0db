/* After a repair: that the fault is gone is shown, not believed. */

/** @import { EndingView, Proof } from "../types.js" */
import { cleanRow, relapse } from "../job/job.js";
import { sureAfter } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { button, figure } from "./pieces.js";
import { announce, keepAndDraw, once, tell } from "./stage.js";

/**
 * Clean trials counted, until one can be sure.
 * @param {EndingView} view
 * @param {Proof} prove
 */
export function proof(view, prove) {
  const { trials } = view.leg.ending;
  const { needed, shows, trial } = prove;
  const clean = cleanRow(view.leg.ending);
  const left = Math.max(0, needed - clean);
  return h("section", { class: "proof" },
    h("h2", {}, left ? say("Prove it") : say("Proven")),
    h("p", {}, h("b", {}, say("One trial: {trial}", { trial })), " ", say("While the fault was there it showed in {share} of the trials.", { share: figures.share(shows) })),
    h("dl", { class: "figures" },
      figure(say("Clean in a row"), `${clean} / ${needed}`),
      figure(say("Proof from your trials"), figures.share(sureAfter(shows, clean))),
      figure(say("Still to go"), String(left))),
    left ? null : h("p", { class: "lead" }, say("You can be 95 % sure and more that the fault is gone.")),
    h("div", { class: "results" },
      button(say("One more clean trial today"), () => addTrial(view, prove)),
      button(say("The fault came back"), () => comeBack(view), "quiet")),
    trials.length ? [
      h("ol", { class: "trials" }, trials.map((one) => h("li", {}, `${figures.date(one.at)}: ${one.clean ? say("clean") : say("fault showed")}`))),
      button(say("Take the last trial back"), () => takeTrialBack(view, prove), "small-button"),
    ] : null);
}

/**
 * @param {EndingView} view
 * @param {Proof} prove
 */
function addTrial(view, { needed, shows }) {
  if (!once(view)) return;
  const { job, leg: { ending } } = view;
  ending.trials.push({ at: new Date().toISOString(), clean: true });
  const clean = cleanRow(ending);
  if (clean >= needed) job.state = "done";
  announce(say("{count} clean trials in a row; {sure} sure.", { count: clean, sure: figures.share(sureAfter(shows, clean)) }));
  keepAndDraw(job);
}

/**
 * @param {EndingView} view
 * @param {Proof} prove
 */
function takeTrialBack({ job, leg: { ending } }, { needed }) {
  ending.trials.pop();
  job.state = cleanRow(ending) >= needed ? "done" : "proving";
  announce(say("The last trial is taken back."));
  keepAndDraw(job);
}

/**
 * A repair without trials of its own: the car is used as it failed.
 * @param {EndingView} view
 */
export function held(view) {
  const { job, leg: { ending }, model } = view;
  const gone = () => {
    ending.held = true;
    job.state = "done";
    keepAndDraw(job);
  };
  return h("section", { class: "proof" },
    h("h2", {}, ending.held ? say("Proven") : say("Prove it")),
    ending.held
      ? h("p", { class: "lead" }, say("The job is done. If the fault comes back, open it again here."))
      : h("p", { class: "lead" }, say("Done, but not proven. Use the car the way in which the fault showed: {conditions}", { conditions: model.shows.join(" · ") || model.summary })),
    h("div", { class: "results" },
      ending.held ? null : button(say("The fault is gone"), gone),
      button(say("The fault came back"), () => comeBack(view), "quiet")));
}

/** @param {EndingView} view */
function comeBack(view) {
  if (!once(view)) return;
  const { job, leg, node, model } = view;
  relapse(job, leg.ending, node, model);
  tell(job, say("The repair did not hold. It still counts, its causes are ruled out, and the last step is open again; you can also change an earlier answer below."));
  keepAndDraw(job);
}
