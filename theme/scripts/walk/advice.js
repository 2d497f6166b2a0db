/* Where the best for the owner and the playbook as written differ, and where handing over has become cheaper. */

/** @import { View } from "../types.js" */
import { save, settings } from "../device/settings.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { button, way } from "./pieces.js";
import { draw, go, jobAddress, screenAddress, workAddress } from "./stage.js";

/**
 * Go the other way from now on.
 * @param {View} view
 * @param {boolean} best
 */
function turnTo({ job }, best) {
  const { way: _, ...own } = settings();
  save(best ? { ...own, way: "best" } : own);
  if (location.hash === jobAddress(job)) draw();
  else go(jobAddress(job));
}

/**
 * Whether a difference is worth a word.
 * @param {number} saves
 */
const isWorth = (saves) => saves >= 1;

/** @param {View} view */
export function advice(view) {
  const { prospect: found, model, node, job, leg, isBest, again } = view;
  if (!found || node.kind === "handover" || again) return null;
  const { best, written, cost, handOver } = found;
  if (best.kind === "professional") {
    return h("p", { class: "boxed advice" },
      say("Handing over has become cheaper than going on: about {money} in the end.", { money: figures.about(handOver) }), " ",
      way(say("Stop and hand over"), screenAddress(job, "report"), "small-button"));
  }
  if (!written || !isWorth(written.saves) || written.next.name === best.name) return null;
  return isBest
    ? h("p", { class: "small advice" }, say("The playbook would now say: “{title}”. This way costs {money} less in the end, on average.", { title: model.nodes[written.next.node].title, money: figures.about(written.saves) }))
    : h("p", { class: "boxed advice" },
      say("Best for you would be: “{title}”. In the end that costs {money} on average, instead of {other}.", { title: model.nodes[best.node].title, money: figures.about(cost), other: figures.about(written.inTheEnd) }), " ",
      way(say("Do that instead"), workAddress(job, leg.slug, best.name), "small-button"), " ",
      button(say("Always what is best for me"), () => turnTo(view, true), "small-button"));
}

/**
 * Which way the walk goes, and the other one.
 * @param {View} view
 */
export function whichWay(view) {
  if (!view.prospect) return null;
  return view.isBest
    ? h("p", {}, say("You go the way that is best for you: by your tools, prices, limits and all that you have seen."), " ", button(say("As the playbook is written"), () => turnTo(view, false), "small-button"))
    : h("p", {}, say("You go the way as the playbook is written."), " ", button(say("What is best for me"), () => turnTo(view, true), "small-button"));
}
