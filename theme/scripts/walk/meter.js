/* Always in view: so far, still to come, how the causes stand. */

/** @import { Model, Settings, View, Work } from "../types.js" */
import { ahead } from "../job/ahead.js";
import { triedAt } from "../job/stand.js";
import { added, soFar } from "../job/tally.js";
import { mean } from "../reckon/bill.js";
import { expect } from "../reckon/expect.js";
import { shares } from "../reckon/odds.js";
import { within } from "../reckon/paths.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { ranked } from "./pieces.js";

let causesOpen = false;

/**
 * Means to come from a node on, and what 19 of 20 stay within.
 * @param {Model} model
 * @param {number} i
 * @param {number[] | null} weights
 * @param {Work[]} before
 * @param {Settings} settings
 */
function toCome(model, i, weights, before, settings) {
  const means = weights && expect(model, i, weights, before, settings);
  const most = weights && within(model, i, weights, before, settings, [0.95]);
  return means && { money: means.money, minutes: means.minutes, most: most && most[0] };
}

/** @param {View} view */
function outlook({ model, models, where, done, settings, leg }) {
  const node = model.nodes[where.i];
  if (node.kind === "handover") {
    const next = models[node.name];
    return next && toCome(next, 0, next.prior, done, settings);
  }
  const tried = node.kind === "ending" && triedAt(leg, node.name);
  if (tried) return { money: 0, minutes: 0, most: null };
  const found = toCome(ahead(model, leg), where.i, where.weights, done, settings);
  if (found || node.results) return found;
  const own = added(done, { model, node }, settings);
  return { money: mean(own.money), minutes: mean(own.minutes), most: null };
}

/**
 * A bar as long as a share.
 * @param {number} share
 */
function bar(share) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 100 4");
  svg.setAttribute("preserveAspectRatio", "none");
  svg.setAttribute("aria-hidden", "true");
  const rect = document.createElementNS(space, "rect");
  rect.setAttribute("width", (share * 100).toFixed(2));
  rect.setAttribute("height", "4");
  svg.append(rect);
  return svg;
}

/**
 * @param {Model} model
 * @param {number[]} now shares
 */
function causes(model, now) {
  const rows = ranked(model, now);
  /** @param {Event} event */
  const toggled = ({ target }) => { causesOpen = target instanceof HTMLDetailsElement && target.open; };
  return h("details", { class: "causes", open: causesOpen, ontoggle: toggled },
    h("summary", {}, rows.slice(0, 2).map(({ name, share }) => h("span", {}, `${name} `, h("b", {}, figures.share(share)), " "))),
    h("ul", { class: "bars" }, rows.map(({ name, share }) => h("li", {}, h("span", {}, name), h("b", {}, figures.share(share)), bar(share)))));
}

/**
 * What the best order still comes to.
 * @param {number} cost
 */
const allIn = (cost) => h("div", {}, h("span", { class: "label" }, say("Still to come, all in")),
  h("b", { "data-figure": "in-the-end" }, figures.about(cost)), h("span", { class: "bound" }, say("own time and workshop included")));

/** @param {View} view */
export function meter(view) {
  const { model, where, done, settings } = view;
  const spent = soFar(done, settings);
  const next = outlook(view);
  const best = view.isBest && view.prospect;
  const now = where.weights && shares(where.weights);
  const cells = [
    h("div", {}, h("span", { class: "label" }, spent.real ? say("So far, in part as noted") : say("So far")),
      h("b", { "data-figure": "so-far" }, figures.money(spent.money)), h("span", { class: "time", "data-figure": "so-far-time" }, figures.minutes(spent.minutes))),
    best ? allIn(best.cost) : h("div", {}, h("span", { class: "label" }, say("Probably to come")),
      h("b", { "data-figure": "to-come" }, next ? figures.about(next.money) : "–"),
      h("span", { class: "time", "data-figure": "to-come-time" }, next ? figures.minutes(next.minutes) : say("no odds here")),
      next && next.most !== null && next.most > next.money + 0.5
        ? h("span", { class: "bound", "data-figure": "at-most" }, say("19 of 20: {money} or less", { money: figures.about(next.most) })) : null),
  ];
  return h("section", { id: "meter", class: "meter", "aria-label": say("Where you stand") },
    h("div", { class: "meter-figures" }, cells), now && causes(model, now));
}

/** With large letters on a small screen the meter would hide what it stands above; then it scrolls with the page. */
export function fitMeter() {
  const box = document.getElementById("meter");
  if (box) box.classList.toggle("tall", box.offsetHeight > innerHeight / 3);
}
