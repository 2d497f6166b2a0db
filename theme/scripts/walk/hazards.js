/* Dangers of a step or an ending: in full before the first one that lifts or touches the timing, as lines after that. */

/** @import { Model, PlaybookNode, View } from "../types.js" */
import { now } from "../job/job.js";
import { h } from "../show/dom.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { cannot } from "./cannot.js";
import { button, costLine, heading, title } from "./pieces.js";
import { changeAndDraw } from "./stage.js";

/**
 * Hazards of a node, the severest first.
 * @param {PlaybookNode} node
 */
const hazardsOf = (node) => (node.kind === "handover" ? [] : node.hazards);

/**
 * Hazards that are acknowledged before what to do is shown: lifting, timing, and whatever else is a danger.
 * @param {Model} model
 * @param {PlaybookNode} node
 */
const grave = (model, node) => hazardsOf(node).filter((name) =>
  (node.kind !== "handover" && node.banner.includes(name)) || model.hazards[name].signal === "danger");

/**
 * Dangers that the owner has not read as they are written now.
 * @param {View} view
 */
const unread = ({ job, model, node }) => grave(model, node)
  .filter((name) => !job.read.some((one) => one.name === name && one.hash === model.hazards[name].hash));

/** What must hold before a playbook is begun, as it was read. @param {Model} model */
const beginning = (model) => ({ name: `begin-${model.slug}`, hash: model.preconditions.join("\n") });

/**
 * Whether what must hold before the first step has still to be read.
 * @param {View} view
 */
function isBeginning({ job, model, leg }) {
  const { name, hash } = beginning(model);
  const isFresh = !leg.tried.length && leg.seen.every(({ known }) => known);
  return isFresh && hash !== "" && !job.read.some((one) => one.name === name && one.hash === hash);
}

/**
 * Whether something must be read before what to do is shown.
 * @param {View} view
 */
export const isGated = (view) => unread(view).length > 0 || isBeginning(view);

/**
 * What must be read first: dangers, and what must hold before the first step. What to do is shown when that was done.
 * @param {View} view
 */
export function gate(view) {
  const { job, model, node } = view;
  const names = unread(view);
  const begins = isBeginning(view);
  const changed = names.some((name) => job.read.some((one) => one.name === name));
  const acknowledge = () => changeAndDraw(view, () => {
    const read = [...names.map((name) => ({ name, hash: model.hazards[name].hash })), ...(begins ? [beginning(model)] : [])];
    job.read = [...job.read.filter(({ name }) => !read.some((one) => one.name === name)), ...read.map((one) => ({ ...one, at: now() }))];
  });
  return h("article", { class: "card gate" }, names.length ? heading(view) : title(say("Before you start")),
    changed ? h("p", { class: "note" }, say("The words of this danger have changed since you read them.")) : null,
    names.length ? hazardsOf(node).map((name) => built(model.hazards[name].html)) : h("p", { class: "lead" }, model.summary),
    begins ? [names.length ? h("h2", {}, say("Before you start")) : null, h("ul", { class: "ticks" }, model.preconditions.map((html) => built(html, "li")))] : null,
    h("div", { class: "results" }, button(names.length ? say("I have read this and will work that way") : say("That holds: begin"), acknowledge)),
    names.length ? costLine(view) : null,
    names.length ? h("p", {}, say("Not sure that you can? Stop here and hand the car to a professional; the job keeps what you have found out.")) : null,
    names.length ? cannot(view) : null);
}

/**
 * Each hazard as a line that opens.
 * @param {View} view
 */
export const hazardLines = ({ model, node }) => hazardsOf(node).map((name) => {
  const { signal, word, html, name: title } = model.hazards[name];
  return h("details", { class: "hazard-line" },
    h("summary", {}, h("span", { class: `stamp ${signal}` }, word), " ", title),
    built(html));
});
