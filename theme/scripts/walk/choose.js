/* "Replace now or check once more?": what is left, and all that may come next, in one table, best first. */

/** @import { PlaybookNode, View } from "../types.js" */
/** @import { Thing } from "../reckon/order/shapes.js" */
import { isOut, seenAt, triedAt } from "../job/stand.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { title, way } from "./pieces.js";
import { screenAddress, workAddress } from "./stage.js";

/**
 * What a thing does, in a few words.
 * @param {Thing} thing
 */
function effect({ kind, chance }) {
  if (kind === "professional") return say("done for you");
  if (kind === "step") return say("check");
  return chance === null ? say("repair") : say("repair: puts it right in {share}", { share: figures.share(chance) });
}

/**
 * One thing that may come next: its name, and below it what it costs.
 * @param {View} view
 * @param {Thing} thing
 */
function group({ job, leg, model }, thing) {
  const isOver = thing.kind === "professional";
  const name = isOver ? say("Hand over to a professional") : model.nodes[thing.node].title;
  const href = isOver ? screenAddress(job, "report") : workAddress(job, leg.slug, thing.name);
  return h("tbody", {},
    h("tr", {}, h("th", { colspan: 3, scope: "rowgroup" }, h("a", { href }, name), " ", h("small", {}, effect(thing)), thing.today ? null : h("small", {}, ` – ${say("longer than you have today")}`))),
    h("tr", {},
      h("td", {}, isOver ? "–" : h("span", {}, figures.about(thing.own.money), h("small", {}, ` ${figures.minutes(thing.own.minutes)}`))),
      h("td", {}, figures.about(thing.workshop)),
      h("td", {}, h("b", {}, figures.about(thing.inTheEnd)))));
}

/** @param {View} view */
function table(view) {
  const { prospect: found, model } = view;
  if (!found) return list(view);
  const barred = found.barred.map(({ name }) => model.nodes.find((node) => node.kind !== "handover" && node.name === name)).filter((node) => node !== undefined);
  return [
    h("table", { class: "things" },
      h("caption", {}, say("Best first. In the end: all that it comes to when this is done next, with your own time and a professional’s bill where one is needed.")),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, say("Yourself")), h("th", { scope: "col" }, say("Done for you")), h("th", { scope: "col" }, say("In the end")))),
      found.things.map((thing) => group(view, thing))),
    found.proven ? null : h("p", { class: "small" }, say("No order can cost less than {money} in the end; the best that was found costs {cost}.", { money: figures.about(found.bound), cost: figures.about(found.cost) })),
    barred.length ? h("p", { class: "small" }, say("Not possible now, by what is set aside, by your limits, or because something must come first: {titles}.", { titles: barred.map((node) => node.title).join(", ") })) : null,
  ];
}

/**
 * What may still be done in a playbook without odds.
 * @param {View} view
 */
function list({ model, leg, job }) {
  /** @param {PlaybookNode} node */
  const isLeft = (node) => node.kind !== "handover" && !isOut(leg, node) && (node.kind === "step" ? !seenAt(leg, node) : node.repairs && !triedAt(leg, node.name));
  return h("ul", { class: "rows" }, model.nodes.filter(isLeft).map((node) => h("li", { class: "row" },
    h("a", { class: "row-title", href: workAddress(job, leg.slug, node.name) }, node.title), h("p", { class: "small" }, node.kind === "step" ? say("check") : say("repair")))));
}

/** @param {View} view */
export function choose(view) {
  const { job, isOpen, where, prospect: found } = view;
  const isOver = isOpen && found && found.best.kind === "professional";
  return h("article", { class: "card choose" },
    title(isOver ? say("Hand over now") : isOpen ? say("What next?") : say("Replace now or check once more?")),
    isOver ? h("p", { class: "lead" }, say("Handing over has become cheaper than going on: about {money} in the end.", { money: figures.about(found.handOver) })) : null,
    isOpen && where.spent && !isOver ? h("p", {}, say("The way as written ends with what was tried. All your answers hold; choose what to do next, or hand over.")) : null,
    isOpen ? h("div", { class: "results" }, way(say("Stop and hand over"), screenAddress(job, "report"), isOver ? "" : "quiet")) : null,
    table(view));
}
