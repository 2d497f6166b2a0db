/* "I can't do this": a step or a repair is set aside, with what that costs, and can be fetched back. */

/** @import { Aside, Job } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { fetchBack, setAside } from "../job/job.js";
import { ownOf } from "../job/evidence.js";
import { without } from "../reckon/order/prospect.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { button } from "./pieces.js";
import { changeAndDraw, changeAndGo, once, tell } from "./stage.js";

/** @returns {[why: Aside["why"], text: string][]} */
const reasons = () => [
  ["tool", say("I lack a tool")], ["lifting", say("I may not or will not lift the car")], ["later", say("Not now")], ["person", say("Not me")],
];

/**
 * Why something is set aside.
 * @param {Aside} aside
 */
export const reason = ({ why }) => (reasons().find(([name]) => name === why) || ["", ""])[1];

/**
 * What it costs to do without a step or a repair.
 * @param {View} view
 */
function price({ model, evidence, leg, settings, node }) {
  const found = without(model, evidence, ownOf(leg, settings), node.name);
  if (!found) return "";
  const shares = { less: figures.share(found.settledWithout), more: figures.share(found.settled) };
  return found.dearer < 0.5
    ? say("Without it {less} instead of {more} end put right by you; it costs about the same in the end.", shares)
    : say("Without it {less} instead of {more} end put right by you; {money} dearer in the end on average.", { ...shares, money: figures.about(found.dearer) });
}

/** @param {View} view */
export function cannot(view) {
  const { job, leg, node } = view;
  const cost = h("p", { class: "cost-without" });
  /** The search takes a moment: only for whoever asks. */
  const toggled = () => { cost.textContent = price(view); };
  if (node.kind === "handover") return null;
  const { name, title } = node;
  return h("details", { class: "cannot", ontoggle: toggled }, h("summary", {}, say("I can't do this")),
    cost,
    h("div", { class: "buttons" }, reasons().map(([why, text]) => button(text, () => {
      if (!once(view)) return;
      changeAndGo(view, () => {
        setAside(leg, name, why);
        tell(job, say("“{title}” is set aside. You can fetch it back below at any time.", { title }));
      });
    }, "small-button"))));
}

/**
 * What is set aside in a leg, to be fetched back.
 * @param {View} view
 */
export function asideList(view) {
  const { leg, model } = view;
  const rows = leg.aside.map((aside) => {
    const node = model.nodes.find(({ name, kind }) => kind !== "handover" && name === aside.work);
    return h("li", {}, h("b", {}, node ? node.title : aside.work), ` – ${reason(aside)} `,
      button(say("Fetch it back"), () => changeAndDraw(view, () => fetchBack(leg, aside.work)), "small-button"));
  });
  const barred = model.nodes.filter((node) => node.kind !== "handover" && node.barred !== undefined);
  for (const node of barred) rows.push(h("li", {}, h("b", {}, node.title), ` – ${say("your limits keep you from it")}`));
  return rows.length ? h("section", { class: "aside-list" }, h("h3", {}, say("Set aside")), h("ul", {}, rows)) : null;
}

/**
 * How much is set aside in a job.
 * @param {Job} job
 */
export const asideCount = (job) => job.legs.reduce((count, { aside }) => count + aside.length, 0);
