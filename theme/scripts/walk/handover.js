/* A path that goes on in another playbook. */

/** @import { HandoverNode, View } from "../types.js" */
import { car as carHere, jobs } from "../device/store.js";
import { carry, knownBeyond } from "../job/carry.js";
import { newLeg } from "../job/job.js";
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { button, cannotBeLoaded, title } from "./pieces.js";
import { changeAndGo, once, tell } from "./stage.js";

/**
 * @param {View} view
 * @param {HandoverNode} node
 */
export function handOver(view, node) {
  const { job, models } = view;
  const next = models[node.name];
  const goOn = () => {
    if (!next || !once(view)) return;
    changeAndGo(view, () => {
      const leg = newLeg(next);
      const taken = carry(leg, next, knownBeyond(job, leg, job.car && carHere(job.car.id), jobs().sound));
      job.legs.push(leg);
      tell(job, [say("The same job, now in the playbook “{title}”.", { title: next.title }), takenAlong(taken)].join(" "));
    });
  };
  return h("article", { class: "card" },
    title(say("Go on in the playbook “{title}”", { title: node.title })),
    h("p", {}, say("It is the same job: the totals go on, tools that you have bought and panels that are open stay so, and what you have seen in common checks is taken along.")),
    next ? h("div", { class: "results" }, button(say("Go on"), goOn)) : h("p", { class: "note" }, cannotBeLoaded(node.title)));
}

/**
 * What is known already, said aloud.
 * @param {{title: string}[]} steps
 */
export const takenAlong = (steps) => (steps.length
  ? say("Taken along, since it is known already: {titles}. Look at your answers below if one does not hold any more.", { titles: steps.map(({ title }) => title).join(", ") })
  : "");
