/* Pieces that several screens of the walk share. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { Model, View } from "../types.js" */
import { added } from "../job/tally.js";
import { h } from "../show/dom.js";
import { minutes, money, range } from "../show/figures.js";
import { say } from "../site/words.js";

/**
 * @param {string} text
 * @param {() => void} act
 * @param {string} [kind] classes
 */
export const button = (text, act, kind = "") => h("button", { type: "button", class: kind, onclick: act }, text);

/** The heading that a screen begins with. */
export const title = (/** @type {Parameters<typeof h>[2][]} */ ...children) => h("h1", { tabindex: "-1" }, ...children);

/**
 * A button that leads to another screen.
 * @param {string} text
 * @param {string} hash
 */
export const way = (text, hash, kind = "quiet") => h("a", { class: `button ${kind}`, href: hash }, text);

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
  if (job.state === "handed-over") return say("Handed over");
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
 * The title of a step or an ending.
 * @param {View} view
 */
export const heading = ({ node }) => title(
  node.kind === "step" ? h("span", { class: "number" }, String(node.number)) : null, " ", node.title,
  node.shop ? h("span", { class: "stamp" }, say("workshop only")) : null);

/**
 * A wait as people say it; nothing where there is none.
 * @param {import("../types.js").Amount} amount in hours
 */
export function waitText([low, likely, high]) {
  if (!likely) return "";
  return say("then it waits: {time}, without you", { time: range(low, high, days) });
}

/**
 * Hours that pass without hands.
 * @param {number} time
 */
export function days(time) {
  const count = Math.round(time / 24);
  if (time < 24) return say("{count} h", { count: Math.round(time * 10) / 10 });
  return count === 1 ? say("1 day") : say("{count} days", { count });
}

/** @param {View} view */
export function costLine({ node, model, before, settings }) {
  const own = added(before, { model, node }, settings);
  /** @type {(amount: import("../types.js").Amount, write: (figure: number) => string) => HTMLElement} */
  const shown = ([low, likely, high], write) =>
    h("span", {}, write(likely), low !== high ? h("small", {}, ` (${range(low, high, write)})`) : null);
  const wait = waitText(node.wait);
  return h("p", { class: "cost" }, shown(own.money, money), shown(own.minutes, minutes), wait ? h("span", {}, h("small", {}, wait)) : null);
}
