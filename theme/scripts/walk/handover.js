/* A path that goes on in another playbook. */

/** @import { HandoverNode, View } from "../types.js" */
import { newLeg } from "../job/job.js";
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { button, cannotBeLoaded, title } from "./pieces.js";
import { keepAndDraw, once, tell } from "./stage.js";

/**
 * @param {View} view
 * @param {HandoverNode} node
 */
export function handOver(view, node) {
  const { job, models } = view;
  const next = models[node.name];
  return h("article", { class: "card" },
    title(say("Go on in the playbook “{title}”", { title: node.title })),
    h("p", {}, say("It is the same job: the totals go on, tools that you have bought and panels that are open stay so.")),
    next
      ? h("div", { class: "results" }, button(say("Go on"), () => {
        if (!once(view)) return;
        job.legs.push(newLeg(next));
        tell(job, say("The same job, now in the playbook “{title}”.", { title: next.title }));
        keepAndDraw(job);
      }))
      : h("p", { class: "note" }, cannotBeLoaded(node.title)));
}
