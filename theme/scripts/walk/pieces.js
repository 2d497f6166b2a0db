/* Pieces that several screens of the walk share. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { Model, PlaybookNode, View } from "../types.js" */
import { added } from "../job/tally.js";
import { bill, mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import { minutes, money, range } from "../show/figures.js";
import { built } from "../show/units.js";
import { say } from "../site/words.js";

/**
 * @param {string} text
 * @param {() => void} act
 * @param {string} [kind] classes
 */
export const button = (text, act, kind = "") => h("button", { type: "button", class: kind, onclick: act }, text);

/** The heading that a screen begins with. */
export const title = (/** @type {Parameters<typeof h>[2][]} */ ...children) => h("h1", { tabindex: "-1" }, ...children);

export const toJobs = () => h("p", {}, h("a", { href: "#" }, say("Jobs on this device")));

/**
 * @param {string} label
 * @param {string} value
 * @param {string | null} [note]
 */
export const figure = (label, value, note) =>
  h("div", { class: "figure" }, h("dt", {}, label), h("dd", {}, h("span", { class: "big" }, value), note ? h("small", {}, note) : null));

/** @param {string} name title of a playbook */
export const cannotBeLoaded = (name) =>
  say("The playbook “{title}” cannot be loaded. It was removed from the site, or you are offline and have not kept the site on this device. The job is safe.", { title: name });

/** @param {Job} job */
export function stateName(job) {
  if (job.state === "done") return say("Done");
  if (job.state === "proving") return say("Repaired, being proven");
  return say("Open");
}

/**
 * @param {Model} model
 * @param {number} c
 */
export const causeName = (model, c) => (model.causes ? model.causes[c][1] : "");

/**
 * Causes with their shares, the likeliest first.
 * @param {Model} model
 * @param {number[]} shares
 */
export const ranked = (model, shares) =>
  shares.map((share, c) => ({ c, share, name: causeName(model, c) })).sort((a, b) => b.share - a.share);

/**
 * What must hold before the first step of a playbook.
 * @param {View} view
 */
export function firstOf({ model, leg }) {
  return !leg.way.length && model.preconditions.length
    ? h("section", { class: "first" }, h("h2", {}, say("Before you start")), h("ul", { class: "ticks" }, model.preconditions.map((html) => built(html, "li"))))
    : null;
}

/**
 * What a step asks for that does not cost again: bought or owned, open, borrowed for less.
 * @param {View} view
 */
export function already({ node, model, before, settings }) {
  const done = bill(before, settings);
  const priced = node.tools.filter((tool) => mean(model.tools[tool].price));
  /** @param {string} tool */
  const at = (tool) => (done.tools.has(tool) ? "had" : settings.tools[tool]);
  /** @param {"had" | "own" | "borrow"} how */
  const tools = (how) => priced.filter((tool) => at(tool) === how).map((tool) => model.tools[tool]);
  /** @type {[string, {name: string}[]][]} */
  const rows = [
    [say("Yours, costs nothing: {names}"), tools("own")],
    [say("Borrowed: {names}"), tools("borrow").filter((tool) => tool.borrow)],
    [say("You have it from an earlier step: {names}"), tools("had")],
    [say("Open already: {names}"), node.access.filter((job) => done.access.has(job)).map((job) => model.access[job])],
  ];
  const shown = rows.filter(([, of]) => of.length);
  return shown.length
    ? h("p", { class: "small already" }, shown.map(([text, of]) => h("span", {}, `${text.replace("{names}", () => of.map(({ name }) => name).join(", "))}. `)))
    : null;
}

/**
 * The title of a step or an ending.
 * @param {View} view
 */
export const heading = ({ node }) => title(
  node.kind === "step" ? h("span", { class: "number" }, String(node.number)) : null, " ", node.title,
  node.shop ? h("span", { class: "stamp" }, say("workshop only")) : null);

/**
 * The panels of all hazards of a step or an ending, the severest first.
 * @param {View} view
 * @param {PlaybookNode} node
 */
export const panels = ({ model }, node) => ("hazards" in node ? node.hazards.map((name) => built(model.hazards[name].html)) : []);

/** @param {View} view */
export function costLine({ node, model, before, settings }) {
  const own = added(before, { model, node }, settings);
  /** @type {(amount: import("../types.js").Amount, write: (figure: number) => string) => HTMLElement} */
  const shown = ([low, likely, high], write) =>
    h("span", {}, write(likely), low !== high ? h("small", {}, ` (${range(low, high, write)})`) : null);
  return h("p", { class: "cost" }, shown(own.money, money), shown(own.minutes, minutes));
}
