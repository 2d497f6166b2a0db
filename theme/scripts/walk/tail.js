/* Below each screen: back, other ways on, what was answered, the job as a thing. */

/** @import { View } from "../types.js" */
import { doneIn } from "../job/tally.js";
import { h } from "../show/dom.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { whichWay } from "./advice.js";
import { answered, stillTrue } from "./answered.js";
import { way } from "./pieces.js";
import { screenAddress, workAddress } from "./stage.js";
import { takeAway } from "./takeaway.js";

/**
 * The screen of what was done before the one that is shown.
 * @param {View} view
 */
function earlier({ job, leg, node, again }) {
  const all = job.legs.flatMap((one) => doneIn(one).map(({ name }) => ({ slug: one.slug, name })));
  const k = again ? all.findIndex(({ slug, name }) => slug === leg.slug && name === node.name) : -1;
  const before = k < 0 ? all.filter(({ slug, name }) => slug !== leg.slug || name !== node.name) : all.slice(0, k);
  const last = before[before.length - 1];
  return last ? workAddress(job, last.slug, last.name) : null;
}

/** @param {View} view */
export function tail(view) {
  const { job, models, settings } = view;
  const back = earlier(view);
  return h("section", { class: "tail" },
    stillTrue(view),
    h("p", { class: "buttons" },
      back ? way(say("Back"), back) : null,
      way(say("Pause"), "#"),
      way(say("Stop and hand over"), screenAddress(job, "report"))),
    h("ul", { class: "ways" },
      h("li", {}, h("a", { href: screenAddress(job, "choose") }, say("Replace now or check once more?"))),
      h("li", {}, h("a", { href: screenAddress(job, "known") }, say("What do you know already?"))),
      h("li", {}, h("a", { href: screenAddress(job, "shopping") }, say("Shopping list"))),
      h("li", {}, h("a", { href: `${root}settings.html` }, say("Your tools, prices and limits")))),
    whichWay(view),
    answered(view),
    takeAway(job, models, settings));
}
