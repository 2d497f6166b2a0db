/* An ending: a repair, a hand-over to a professional, or leaving it. */

/** @import { EndingView } from "../types.js" */
import { finish, hasFailed, undo } from "../job/job.js";
import { triedAt } from "../job/stand.js";
import { counted } from "../job/tally.js";
import { end } from "../job/wait.js";
import { shares, sum } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { advice } from "./advice.js";
import { cannot } from "./cannot.js";
import { hazardLines } from "./hazards.js";
import { limits } from "./limits.js";
import { needs } from "./needs.js";
import { notes } from "./notes.js";
import { button, costLine, heading, way } from "./pieces.js";
import { held, proof } from "./proof.js";
import { changeAndDraw, jobAddress, once } from "./stage.js";
import { sums } from "./sums.js";
import { waitBox } from "./waits.js";

/** @param {EndingView} view */
export function ending(view) {
  const { node, leg, job } = view;
  const tried = triedAt(leg, node.name);
  if (!tried || tried.outcome === "still") return toDo(view);
  const after = tried.outcome === "left" ? h("p", { class: "lead" }, say("The job is closed."))
    : node.prove ? proof(view, tried, node.prove) : held(view, tried);
  const notDone = () => changeAndDraw(view, () => undo(job, leg, node.name));
  return h("article", { class: "card ending" }, heading(view), after, sums(view), notes(view),
    tried.trials.length ? null : h("p", {}, button(tried.outcome === "left" ? say("Open the job again") : say("Not done after all"), notDone, "small-button")));
}

/** @param {EndingView} view */
function toDo(view) {
  const { node, leg, job } = view;
  const sure = chanceRight(view);
  const again = hasFailed(leg, node.name);
  const done = () => {
    if (once(view)) changeAndDraw(view, () => {
      finish(job, leg, node, counted(view.before, view.model, node, view.settings));
      end(job, leg.slug, node.name);
    });
  };
  return h("article", { class: "card ending" }, heading(view), limits(view), hazardLines(view),
    again ? h("p", { class: "note" }, say("You have done this already and it did not hold. Buy nothing for it again.")) : null,
    sure !== null && node.repairs && !again ? h("p", { class: "lead" }, say("By the odds this puts the fault right in {share} of the cases like yours.", { share: figures.share(sure) })) : null,
    built(node.html),
    h("div", { class: "results" }, again
      ? [way(say("Go on"), jobAddress(job), ""), button(say("Done all the same"), done, "quiet")]
      : button(node.repairs ? say("The repair is done") : say("Done: close the job here"), done)),
    costLine(view), again ? null : advice(view), needs(view), waitBox(view), again ? null : cannot(view), notes(view));
}

/** @param {EndingView} view */
function chanceRight({ node: { rights }, where }) {
  const now = where.weights && shares(where.weights);
  return now && rights ? sum(now.filter((_, c) => rights[c])) : null;
}
