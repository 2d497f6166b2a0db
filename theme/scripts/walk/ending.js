/* An ending: a repair, a hand-over to a professional, or leaving it. */

/** @import { EndingView } from "../types.js" */
import { hasFailed } from "../job/job.js";
import { counted } from "../job/tally.js";
import { shares, sum } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { notes } from "./notes.js";
import { already, button, costLine, heading, panels } from "./pieces.js";
import { held, proof } from "./proof.js";
import { keepAndDraw, once } from "./stage.js";
import { sums } from "./sums.js";

/** @param {EndingView} view */
export function ending(view) {
  const { node, leg } = view;
  if (!leg.ending.done) return toDo(view);
  const after = node.prove ? proof(view, node.prove) : node.repairs ? held(view) : h("p", { class: "lead" }, say("The job is closed."));
  return h("article", { class: "card ending" }, heading(view), after, sums(view), notes(view, leg.ending));
}

/** @param {EndingView} view */
function toDo(view) {
  const { node, leg, job } = view;
  const sure = chanceRight(view);
  const again = hasFailed(leg, node.name);
  const finish = () => {
    if (!once(view)) return;
    leg.ending.done = true;
    leg.ending.doneAt = new Date().toISOString();
    leg.ending.counted = counted(view.before, view.model, node, view.settings);
    job.state = node.repairs ? "proving" : "done";
    keepAndDraw(job);
  };
  return h("article", { class: "card ending" }, heading(view),
    again ? h("p", { class: "note" }, say("You have done this already and it did not hold. Buy nothing for it again: look at your last answer once more, or hand over to a professional.")) : null,
    panels(view, node),
    sure !== null && node.repairs && !again ? h("p", {}, say("By the odds this puts the fault right in {share} of the cases that come this way.", { share: figures.share(sure) })) : null,
    built(node.html), already(view), costLine(view),
    h("div", { class: "results" },
      button(again ? say("Done all the same") : node.repairs ? say("The repair is done") : say("Done: close the job here"), finish, again ? "quiet" : "")),
    notes(view, leg.ending));
}

/** @param {EndingView} view */
function chanceRight({ node: { rights }, where }) {
  const now = where.weights && shares(where.weights);
  return now && rights ? sum(now.filter((_, c) => rights[c])) : null;
}
