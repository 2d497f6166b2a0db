/* "Replace now or check once more?": what is left, and all that may come next. */

/** @import { EndingNode, PlaybookNode, StepNode, View } from "../types.js" */
import { isOut, seenAt, triedAt } from "../job/stand.js";
import { added } from "../job/tally.js";
import { mean } from "../reckon/bill.js";
import { shares, sum } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { title, way } from "./pieces.js";
import { screenAddress, workAddress } from "./stage.js";

/** @typedef {StepNode | EndingNode} Work */

/**
 * What may still be done in the playbook of a leg: steps that were not, repairs that were not tried.
 * @param {View} view
 */
function possible({ model, leg }) {
  /** @param {PlaybookNode} node @returns {node is Work} */
  const isOpen = (node) => node.kind !== "handover" && !isOut(leg, node)
    && (node.kind === "step" ? !seenAt(leg, node) : node.repairs && !triedAt(leg, node.name));
  return model.nodes.filter(isOpen);
}

/**
 * The chance that a repair puts it right.
 * @param {View} view
 * @param {EndingNode} node
 */
function chanceOf({ where }, node) {
  const now = where.weights && shares(where.weights);
  const { rights } = node;
  return now && rights ? sum(now.filter((_, c) => rights[c])) : null;
}

/**
 * @param {View} view
 * @param {Work} node
 */
function row(view, node) {
  const { job, leg, model, done, settings } = view;
  const own = added(done, { model, node }, settings);
  const chance = node.kind === "ending" ? chanceOf(view, node) : null;
  return h("li", { class: "row" },
    h("a", { class: "row-title", href: workAddress(job, leg.slug, node.name) }, node.title),
    h("p", {}, node.kind === "step" ? say("check") : chance === null ? say("repair") : say("repair: puts it right in {share}", { share: figures.share(chance) })),
    h("p", { class: "small" }, `${figures.money(mean(own.money))}, ${figures.minutes(mean(own.minutes))}`));
}

/** @param {View} view */
export function choose(view) {
  const { job, where } = view;
  const works = possible(view);
  const repairs = works.filter((node) => node.kind === "ending").sort((a, b) => Number(chanceOf(view, b)) - Number(chanceOf(view, a)));
  const steps = works.filter((node) => node.kind === "step");
  return h("article", { class: "card choose" },
    title(where.spent ? say("What next?") : say("Replace now or check once more?")),
    where.spent ? h("p", {}, say("The way as written ends with what was tried. All your answers hold; choose what to do next, or hand over.")) : null,
    repairs.length ? [h("h2", {}, say("Repairs that are left")), h("ul", { class: "rows" }, repairs.map((node) => row(view, node)))] : null,
    steps.length ? [h("h2", {}, say("Checks that are left")), h("ul", { class: "rows" }, steps.map((node) => row(view, node)))] : null,
    h("p", { class: "buttons" }, way(say("Stop and hand over"), screenAddress(job, "report"))));
}
