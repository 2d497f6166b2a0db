/* What a playbook comes to while it is filled in: findings, figures, the way as a list, the guesses that matter. */

/** @import { Model, PlaybookNode } from "../types.js" */
/** @import { Desk, Finding } from "./shapes.js" */
import { expect } from "../reckon/expect.js";
import { noEvidence } from "../reckon/order/givens.js";
import { problemOf } from "../reckon/order/problem.js";
import { writtenFrom } from "../reckon/order/written.js";
import { sum } from "../reckon/odds.js";
import { h, put as write } from "../show/dom.js";
import { about, minutes, money, range, share } from "../show/figures.js";
import { hour, rate } from "../site/site.js";
import { say } from "../site/words.js";
import { idOf } from "./book.js";
import { OFF, guesses } from "./guesses.js";
import { judge } from "./judge.js";
import { modelOf } from "./modelling.js";

const MOST_GUESSES = 5;
/** The figures are those of the site, not of the owner of this device. */
const SITE = { rate, hour, tools: {} };

/**
 * @typedef {object} Outlook
 * @property {Finding[]} findings
 * @property {Model | null} model
 * @property {{money: number, minutes: number, settled: number, end: number, atOnce: number} | null} figures
 */

/**
 * @param {Desk} desk
 * @returns {Outlook}
 */
export function outlookOf({ draft, data }) {
  const { book, area } = draft;
  const findings = judge(book, area, data);
  const model = book.order === "best" ? null : modelOf(book, data);
  return { findings, model, figures: model && figuresOf(model) };
}

/**
 * @param {Model} model
 * @returns {Outlook["figures"]}
 */
function figuresOf(model) {
  const { prior } = model;
  const whole = prior && expect(model, 0, prior, [], SITE);
  const written = whole && writtenFrom(model, noEvidence(), SITE), problem = problemOf(model, SITE);
  if (!prior || !written || !problem) return null;
  const atOnce = sum(prior.map((part, c) => part * problem.bills[c]));
  return { money: whole.money, minutes: whole.minutes, settled: written.settled, end: written.inTheEnd, atOnce };
}

/**
 * Chances to come to each node.
 * @param {Model} model
 */
function reachOf({ prior, nodes }) {
  if (!prior) return null;
  const reach = nodes.map((_, i) => prior.map((part) => (i ? 0 : part)));
  nodes.forEach(({ results }, i) => (results || []).forEach(({ to, chance }) => (chance || []).forEach((part, c) => { reach[to][c] += reach[i][c] * part; })));
  return reach.map(sum);
}

/**
 * Show it.
 * @param {Outlook} outlook
 * @param {HTMLElement} place
 */
export function showOutlook({ findings, model, figures }, place) {
  const severe = findings.filter((one) => one.severe && !one.empty), empty = findings.filter((one) => one.empty), hints = findings.filter((one) => !one.severe);
  place.replaceChildren(
    findings.length ? "" : h("p", { class: "told" }, say("Nothing is to be mended. The check of the library has the last word when you hand it in.")),
    ...list(say("To be mended"), severe), ...list(say("Still to be filled in"), empty), ...list(say("To think about"), hints),
    h("h3", {}, say("The figures")),
    figures ? figureList(figures) : h("p", {}, model ? say("There are no odds yet: give every cause a share, and every step its chances.") : say("As soon as every result leads somewhere, the figures stand here.")),
    ...(model ? [h("h3", {}, say("The way through")), way(model)] : []));
}

/**
 * @param {string} title
 * @param {Finding[]} findings
 */
const list = (title, findings) => (findings.length ? [
  h("h3", {}, `${title} (${findings.length})`),
  h("ul", { class: "findings" }, findings.map(({ at, says }) => h("li", {}, h("a", { href: `#${idOf(at)}`, "data-go": at }, says)))),
] : []);

/** @param {NonNullable<Outlook["figures"]>} figures */
const figureList = (figures) => h("dl", { class: "figures" }, [
  [say("Expected money"), about(figures.money)], [say("Expected time"), minutes(figures.minutes)],
  [say("Put right"), share(figures.settled)], [say("Cost in the end"), about(figures.end)],
  [say("A professional at once"), about(figures.atOnce)],
].map(([label, value]) => h("div", { class: "figure" }, h("dt", {}, label), h("dd", {}, h("span", { class: "big" }, value)))));

/**
 * The flowchart as a list: what follows what.
 * @param {Model} model
 */
function way(model) {
  const reach = reachOf(model);
  const number = new Map(model.nodes.filter(({ kind }) => kind === "step").map((node, k) => [node, k + 1]));
  /** @param {PlaybookNode} node */
  const shown = (node) => (number.has(node) ? say("{number}. {title}", { number: number.get(node) || 0, title: node.title }) : node.kind === "handover" ? say("go on in “{title}”", { title: node.title }) : `■ ${node.title}`);
  return h("ol", { class: "way-list" }, model.nodes.filter(({ results }) => results).map((node) => h("li", {},
    h("b", {}, node.title), " ", h("small", {}, [minutes(node.time[1]), reach ? say("{share} come here", { share: share(reach[model.nodes.indexOf(node)]) }) : ""].filter(Boolean).join(" · ")),
    h("ul", {}, (node.results || []).map((result) => h("li", {}, `${result.expect} → ${shown(model.nodes[result.to])}`))))));
}

/**
 * Show the guesses that matter; they take a moment to find.
 * @param {Model | null} model
 * @param {HTMLElement} place
 */
export const showGuesses = (model, place) => place.replaceChildren(...(model ? guessList(model) : []));

/** @param {Model} model */
function guessList(model) {
  const found = guesses(model, SITE, MOST_GUESSES);
  if (!found.length) return [];
  const causes = model.causes || [];
  /** @param {number} cause */
  const causeName = (cause) => (causes[cause][0] === "unlisted" ? say("something else") : causes[cause][1]);
  return [
    h("h3", {}, say("The guesses that matter")),
    h("p", { class: "small" }, say("If one of these is {off} points higher or lower, the cost in the end moves most. Look at them twice.", { off: OFF * 100 })),
    h("ul", {}, found.map(({ cause, step, result, value, low, high }) => h("li", {}, step
      ? say("“{step}”: “{expect}” if it is “{cause}” ({share}): {range}", { step: step.title, expect: step.results[result].expect, cause: causeName(cause), share: share(value), range: range(low, high, money) })
      : say("Share of “{cause}” ({share}): {range}", { cause: causeName(cause), share: share(value), range: range(low, high, money) })))),
  ];
}

/**
 * What is wrong with a control, beside it; what is only empty yet is not held against anybody.
 * @param {Finding[]} findings
 * @param {ParentNode} within
 */
export function showBeside(findings, within) {
  const said = new Map(findings.filter(({ empty, severe }) => severe && !empty).map(({ at, says }) => [`${idOf(at)}-said`, says]));
  for (const place of within.querySelectorAll(".said")) {
    const text = said.get(place.id) || "";
    write(place, text);
    /** @type {HTMLElement} */ (place).hidden = !text;
    const control = document.getElementById(place.id.replace(/-said$/, ""));
    if (control && /^(?:INPUT|TEXTAREA|SELECT)$/.test(control.tagName)) control.toggleAttribute("aria-invalid", Boolean(text));
  }
}

/**
 * The outlook in a line.
 * @param {Outlook} outlook
 */
export function inShort({ findings, figures }) {
  const empty = findings.filter((one) => one.empty).length, wrong = findings.filter((one) => one.severe && !one.empty).length;
  return [
    wrong ? say("{count} to mend", { count: wrong }) : "", empty ? say("{count} to fill in", { count: empty }) : "", wrong || empty ? "" : say("nothing to mend"),
    ...(figures ? [say("about {money}", { money: about(figures.money) }), say("{share} put right", { share: share(figures.settled) }), say("{money} in the end", { money: about(figures.end) })] : []),
  ].filter(Boolean).join(" · ");
}
