/* What was seen and tried so far, as the way that it makes: you are here, and what lies off that way and still counts. */

/** @import { Seen, Tried } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { now, takeBack } from "../job/job.js";
import { doneIn } from "../job/tally.js";
import { h } from "../show/dom.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { asideCount, asideList } from "./cannot.js";
import { button, way } from "./pieces.js";
import { outcomeText, seenText } from "./said.js";
import { changeAndDraw, workAddress } from "./stage.js";

/**
 * @param {View} view
 * @param {View["leg"]} leg
 * @param {Seen} seen
 * @param {boolean} isOff
 */
function seenRow(view, leg, seen, isOff) {
  const { job } = view;
  const note = (leg.notes[seen.step] || {}).note;
  return h("li", { class: isOff ? "off" : "" }, h("b", {}, seen.title), ": ", seenText(seen),
    note ? h("span", { class: "small" }, ` “${note}”`) : null, isOff ? h("small", {}, ` – ${say("off the way now; still counts")}`) : null, " ",
    way(say("Change"), workAddress(job, leg.slug, seen.step), "small-button"),
    button(say("Take it back"), () => changeAndDraw(view, () => takeBack(leg, seen.step)), "small-button"));
}

/**
 * @param {View} view
 * @param {View["leg"]} leg
 * @param {Tried} tried
 */
const triedRow = ({ job }, leg, tried) => h("li", { class: "tried" }, h("b", {}, tried.title), ` – ${outcomeText(tried)} `,
  way(say("Look at it"), workAddress(job, leg.slug, tried.ending), "small-button"));

/** @param {View} view */
export function answered(view) {
  const { job, leg: here, where, node, model } = view;
  const rows = job.legs.map((leg) => {
    const off = new Set(leg === here ? [...where.off, ...where.lost].map(({ step }) => step) : []);
    const known = leg.seen.filter((seen) => seen.known).map((seen) => seenRow(view, leg, seen, off.has(seen.step)));
    const done = doneIn(leg).map(({ entry }) => ("ending" in entry ? triedRow(view, leg, entry) : seenRow(view, leg, entry, off.has(entry.step))));
    return [job.legs.length > 1 ? h("li", { class: "leg" }, leg.title) : null, ...known, ...done];
  });
  const count = job.legs.reduce((sum, leg) => sum + leg.seen.length + leg.tried.length, 0);
  if (!count && !asideCount(job)) return null;
  return h("details", { class: "answered" }, h("summary", {}, say("Your way so far ({count})", { count })),
    h("ol", { class: "way" }, rows, h("li", { class: "here", "aria-current": "step" }, h("b", {}, say("You are here: {title}", { title: node.title })))),
    asideList(view),
    h("p", {}, h("a", { href: `${root}flow/${model.slug}.svg` }, say("Flowchart of “{title}”", { title: model.title }))));
}

/**
 * What was seen off the way is asked about once: it counts, so it must hold.
 * @param {View} view
 */
export function stillTrue(view) {
  const { where, leg } = view;
  const [seen] = where.off.filter((one) => !one.still && !one.known);
  if (!seen) return null;
  const holds = () => changeAndDraw(view, () => { seen.still = now(); }, false);
  return h("section", { class: "still" },
    h("p", {}, say("You also saw at “{title}”: {expect}. It lies off the way now and still counts. Is it still true?", { title: seen.title, expect: seen.expect })),
    h("p", { class: "buttons" },
      button(say("Still true"), holds, "small-button"),
      button(say("Take it back"), () => changeAndDraw(view, () => takeBack(leg, seen.step), false), "small-button")));
}

