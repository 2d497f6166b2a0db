/* A step: its dangers, what to do, and what may be seen. */

/** @import { Leg } from "../made/jobschema.js" */
/** @import { Model, Result, StepView, View } from "../types.js" */
import { answer, hasFailed, reach } from "../job/job.js";
import { counted } from "../job/tally.js";
import { shares, sum, weigh } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { notes } from "./notes.js";
import { already, button, causeName, costLine, firstOf, heading, panels, ranked } from "./pieces.js";
import { keepAndDraw, once, tell } from "./stage.js";

/**
 * Timing and lifting: the dangers first; what to do only after they were acknowledged.
 * @param {View} view
 * @param {string} name of the step or ending
 */
export function gate(view, name) {
  const { leg, job } = view;
  const acknowledge = () => {
    leg.read = [...(leg.read || []), name];
    keepAndDraw(job);
  };
  return h("article", { class: "card gate" }, heading(view), panels(view, view.node), firstOf(view), costLine(view),
    h("div", { class: "results" }, button(say("I have read this and will work that way"), acknowledge)),
    h("p", {}, say("Not sure that you can? Stop here and hand the car to a professional; the job keeps what you have found out.")));
}

/** @param {StepView} view */
export function step(view) {
  const { node, where, leg } = view;
  const choices = node.results.map((result) => h("button",
    { type: "button", "data-result": result.name, onclick: () => give(view, result) }, built(result.html, "span"), ledWrong(view, result)));
  return h("article", { class: "card" }, heading(view), panels(view, node), firstOf(view), built(node.html), already(view), costLine(view),
    h("h2", {}, say("What do you see?")),
    h("div", { class: "results" }, choices, node.results.length > 1 ? notSure(view) : null),
    notes(view, draftFor(leg, node.name)),
    where.weights && !shares(where.weights)
      ? h("p", { class: "note" }, say("By the odds of this playbook, these results do not happen together, or every cause it names is ruled out. Look at the answers again, or hand over to a professional."))
      : null);
}

/**
 * @param {StepView} view
 * @param {Result} result
 */
function ledWrong({ leg, model }, result) {
  const target = model.nodes[result.to];
  return target.kind === "ending" && hasFailed(leg, target.name) ? h("small", {}, ` – ${say("led to the repair that did not hold")}`) : null;
}

/**
 * @param {Leg} leg
 * @param {string} name
 */
function draftFor(leg, name) {
  if (!leg.draft || leg.draft.step !== name) leg.draft = { step: name };
  return leg.draft;
}

/** @param {StepView} view */
function notSure({ node, model, where }) {
  const { weights } = where;
  const rows = node.results.map((result) => {
    const after = weights && weigh(weights, result);
    const chance = weights && after && shares(weights) ? sum(after) / sum(weights) : null;
    const now = after && shares(after);
    return { result, chance, top: now && ranked(model, now)[0] };
  });
  const favourite = rows.every(({ chance }) => chance !== null) ? rows.reduce((a, b) => (Number(b.chance) > Number(a.chance) ? b : a)) : null;
  return h("details", { class: "not-sure" }, h("summary", {}, say("Not sure")),
    h("p", {}, say("Read what each result looks like, do the step once more if you can, and look for the one that fits in every word:")),
    h("ul", {}, rows.map(({ result, chance, top }) => h("li", {}, h("b", {}, result.expect),
      chance === null ? null : h("span", {}, ` – ${say("to be expected in {share} of cases like yours", { share: figures.share(chance) })}`),
      top ? h("span", {}, `. ${say("It would speak for: {cause} ({share})", { cause: top.name, share: figures.share(top.share) })}`) : null))),
    favourite ? h("p", {}, say("The odds favour: “{expect}”. They do not know your car: what you see counts.", { expect: favourite.result.expect })) : null);
}

/**
 * @param {StepView} view
 * @param {Result} result
 */
function give(view, result) {
  if (!once(view)) return;
  const { job, leg, node, model, where, before, settings } = view;
  const earlier = where.weights && shares(where.weights);
  const later = where.weights && shares(weigh(where.weights, result));
  answer(leg, node, result, counted(before, model, node, settings));
  const target = model.nodes[result.to];
  if (target.kind === "ending") leg.ending = reach(target);
  tell(job, difference(model, result, earlier, later));
  keepAndDraw(job);
}

/**
 * What an answer has changed, in a sentence: the cause that moved most.
 * @param {Model} model
 * @param {Result} result
 * @param {number[] | null} earlier shares
 * @param {number[] | null} later shares
 */
function difference(model, result, earlier, later) {
  const said = say("“{result}” is noted.", { result: result.expect });
  if (!earlier || !later) return said;
  const [moved] = later.map((share, c) => ({ c, by: share - earlier[c] })).sort((a, b) => Math.abs(b.by) - Math.abs(a.by));
  if (Math.abs(moved.by) < 0.005) return `${said} ${say("It changes nothing about the causes.")}`;
  return `${said} ${say("{cause}: {before} → {after}", { cause: causeName(model, moved.c), before: figures.share(earlier[moved.c]), after: figures.share(later[moved.c]) })}`;
}
