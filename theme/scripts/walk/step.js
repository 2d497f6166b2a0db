/* A step: what to do, and what may be seen. */

/** @import { Reading } from "../made/jobschema.js" */
/** @import { Model, Result, StepView, View } from "../types.js" */
import { car as carHere, saveCar } from "../device/store.js";
import { learn } from "../job/car.js";
import { hasFailed, see, takeBack } from "../job/job.js";
import { seenAt, weightsOf } from "../job/stand.js";
import { counted } from "../job/tally.js";
import { end } from "../job/wait.js";
import { shares } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { advice } from "./advice.js";
import { cannot } from "./cannot.js";
import { hazardLines } from "./hazards.js";
import { limits } from "./limits.js";
import { measured } from "./measured.js";
import { needs } from "./needs.js";
import { notes } from "./notes.js";
import { button, causeName, costLine, heading, way } from "./pieces.js";
import { isSoft, readingText } from "./said.js";
import { changeAndGo, jobAddress, once, tell } from "./stage.js";
import { unsure } from "./unsure.js";
import { waitBox } from "./waits.js";
import { why } from "./why.js";

/** @param {StepView} view */
export function step(view) {
  const { node, where } = view;
  /** @param {Result} result */
  const choice = (result) => h("button", { type: "button", "data-result": result.name, onclick: () => give(view, result) },
    built(result.html, "span"), marks(view, result));
  return h("article", { class: "card" }, heading(view), costLine(view), limits(view), hazardLines(view), given(view), built(node.html),
    h("section", { class: "answers", "aria-label": say("What do you see?") },
      measured(view, (result, reading) => give(view, result, { reading })),
      h("h2", {}, say("What do you see?")),
      h("div", { class: "results" }, node.results.map(choice))),
    advice(view), why(view), needs(view), waitBox(view),
    where.weights && !shares(where.weights)
      ? h("p", { class: "note" }, say("By the odds of this playbook, these results do not happen together, or every cause it names is ruled out. Look at the answers again, or hand over to a professional."))
      : null,
    node.results.length > 1 ? unsure(view, (result, weights) => give(view, result, { weights })) : null,
    cannot(view),
    notes(view));
}

/**
 * What was seen here before, if the owner has gone back to the step or it was known.
 * @param {StepView} view
 */
function given(view) {
  const { node, leg, job } = view;
  const known = seenAt(leg, node);
  if (!known) return null;
  const { seen } = known;
  const reading = readingText(seen.reading);
  const back = () => {
    if (once(view)) changeAndGo(view, () => {
      takeBack(leg, node.name);
      tell(job, say("“{title}” is open again.", { title: node.title }));
    });
  };
  return h("section", { class: "given" },
    h("p", {}, h("b", {}, say("You saw: {expect}", { expect: seen.expect })), reading ? ` (${reading})` : "",
      isSoft(seen.weights) ? ` – ${say("not sure")}` : "", seen.source ? ` – ${say("known from: {source}", { source: seen.source })}` : ""),
    h("p", { class: "buttons" }, way(say("Go on"), jobAddress(job), ""), button(say("Take it back"), back, "quiet")),
    h("p", { class: "small" }, say("Another answer below takes its place; all your other answers stay.")));
}

/**
 * @param {StepView} view
 * @param {Result} result
 */
function marks({ leg, model, node }, result) {
  const target = model.nodes[result.to];
  const known = seenAt(leg, node);
  return [
    known && known.result === result ? h("small", {}, ` – ${say("your answer")}`) : null,
    target.kind === "ending" && hasFailed(leg, target.name) ? h("small", {}, ` – ${say("led to the repair that did not hold")}`) : null,
  ];
}

/**
 * @param {StepView} view
 * @param {Result} result
 * @param {{weights?: Record<string, number>, reading?: Reading}} [how]
 */
export function give(view, result, how = {}) {
  if (!once(view)) return;
  const { job, leg, node, model, before, settings, where } = view;
  changeAndGo(view, () => {
    see(leg, node, result, { means: counted(before, model, node, settings), ...how });
    end(job, leg.slug, node.name);
    if (job.state === "handed-over") job.state = "open";
    if (node.car && node.check && !how.weights) teach(view);
    const [earlier, later] = [where.weights, weightsOf(model, leg)].map((weights) => weights && shares(weights));
    tell(job, difference(model, result, earlier, later));
  });
}

/**
 * Keep a fact of the car with its profile.
 * @param {View} view
 */
function teach({ car, leg, node }) {
  const profile = car && carHere(car.id);
  const seen = leg.seen.find((one) => one.step === node.name);
  if (!profile || !seen) return;
  learn(profile, seen);
  saveCar(profile);
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
