/* "What do you know already?": all steps as questions, those that cost nothing first. */

/** @import { Result, StepNode, View } from "../types.js" */
import { see, takeBack } from "../job/job.js";
import { seenAt } from "../job/stand.js";
import { mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";
import { title, way } from "./pieces.js";
import { changeAndDraw, jobAddress } from "./stage.js";

/** Facts of the car first, then what costs least. @param {StepNode} node */
const effort = (node) => (node.car ? -1 : mean(node.time) + mean(node.cost) + (node.access.length + node.tools.length) * 30);

/** @param {View} view */
export function knownScreen(view) {
  const { job, model } = view;
  const steps = model.nodes.filter((/** @returns {node is StepNode} */ (node) => node.kind === "step")).sort((a, b) => effort(a) - effort(b));
  return h("article", { class: "card known" },
    title(say("What do you know already?")),
    h("p", {}, say("Tap what you know for sure, from before or from another job. It costs nothing here, and the walk does not ask again. Leave out what you would have to guess.")),
    h("p", { class: "buttons" }, way(say("Go on"), jobAddress(job), "")),
    steps.map((node) => question(view, node)),
    h("p", { class: "buttons" }, way(say("Go on"), jobAddress(job), "")));
}

/**
 * @param {View} view
 * @param {StepNode} node
 */
function question(view, node) {
  const { leg } = view;
  const known = seenAt(leg, node);
  const name = `known-${node.name}`;
  /** @param {Result} result */
  const know = (result) => changeAndDraw(view, () => see(leg, node, result, { means: { money: 0, minutes: 0 }, known: true }), false);
  const unknown = () => changeAndDraw(view, () => takeBack(leg, node.name), false);
  const wasDone = known && !known.seen.known;
  return h("fieldset", { class: "question" }, h("legend", {}, node.title),
    wasDone
      ? h("p", {}, say("You saw: {expect}", { expect: known.seen.expect }))
      : [
        ...node.results.map((result) => h("label", {},
          h("input", { type: "radio", name, value: result.name, checked: Boolean(known && known.result === result), onchange: () => know(result) }), " ", built(result.html, "span"))),
        h("label", {}, h("input", { type: "radio", name, value: "", checked: !known, onchange: unknown }), " ", say("not known")),
      ]);
}
