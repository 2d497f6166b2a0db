/* The sheet of a path, as builder/publish/pages/sheets.py makes it; a test holds the two together word for word. */

/** @import { Amount, Model, PlaybookNode, Result, Settings } from "../types.js" */
import { sureAfter } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { built } from "../show/units.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { backed, costs, course } from "./course.js";

/** Hazards that call for the safety banner. */
const BANNER = ["timing", "lifting"];
/** Causes with a smaller share than this are left out. */
const LEAST = 0.02;

/** @typedef {ReturnType<typeof course>} Course */
/** @typedef {Parameters<typeof h>[2]} Piece */

/**
 * @param {string} label
 * @param {...Piece} value
 */
const field = (label, ...value) => h("div", {}, h("dt", {}, label), h("dd", {}, ...value));

/**
 * @param {string} label
 * @param {Amount} amount
 * @param {(figure: number) => string} write
 */
const figure = (label, [low, likely, high], write) => h("div", { class: "figure" }, h("dt", {}, label),
  h("dd", {}, h("span", { class: "big" }, write(likely)), low === high ? null : h("small", {}, write === figures.money ? ` (${figures.range(low, high, write)})` : figures.range(low, high, write))));

/** @param {Model} model @param {string} name */
const panel = (model, name) => built(model.hazards[name].html).firstElementChild;

/**
 * What a node is called on paper: the number of a step, the capital letter of an ending, else its title.
 * @param {Model} model
 * @param {number} i
 */
function markOf(model, i) {
  const { kind, title } = model.nodes[i];
  if (kind === "handover") return title;
  const place = model.nodes.slice(0, i).filter((node) => node.kind === kind).length;
  return kind === "step" ? String(place + 1) : letters(place).toUpperCase();
}

/**
 * The letters of something by its place: a to z, then aa, ab …
 * @param {number} place
 * @returns {string}
 */
const letters = (place) => (place < 26 ? "" : letters(Math.floor(place / 26) - 1)) + String.fromCharCode(97 + place % 26);

/** @param {PlaybookNode} node */
const hazardsOf = (node) => ("hazards" in node ? node.hazards : []);

/**
 * What a step or an ending says: its preconditions and what to do, without what it needs, which stands at the head.
 * @param {PlaybookNode} node
 */
function said(node) {
  if (!("html" in node)) return [];
  const box = built(node.html);
  for (const needs of box.querySelectorAll(".needs")) needs.remove();
  return [...box.childNodes];
}

/**
 * How the path goes on from a step, and where it would go otherwise.
 * @param {Model} model
 * @param {PlaybookNode & {results: Result[]}} node
 * @param {Result | undefined} seen
 */
function goesOn(model, node, seen) {
  const others = node.results.filter((result) => result !== seen);
  /** @param {Result} other */
  const other = ({ html, to }) => h("span", {}, "“", built(html, "span"), `” → ${markOf(model, to)}; `);
  return [
    seen ? h("p", { class: "expected" }, h("span", { class: "box", "aria-hidden": "true" }), h("b", {}, say("This path goes on if you see:")), " ", built(seen.html, "span")) : null,
    others.length ? h("p", { class: "small" }, seen ? say("Anything else?") : say("What do you see?"), " ", others.map(other),
      h("a", { href: `${root}playbook/${model.slug}.html#step-${node.name}` }, say("See the other results of this step"))) : null,
  ];
}

/** @param {PlaybookNode} node */
function proving(node) {
  if (node.kind !== "ending" || !node.prove) return null;
  const { trial, shows, needed } = node.prove;
  const half = Math.floor((needed + 1) / 2);
  const sure = figures.share(sureAfter(shows, half));
  return h("p", { class: "prove" }, h("b", {}, say("Before you call it fixed:")), " ",
    needed === 1 ? say("1 clean trial in a row (95 %).") : say("{count} clean trials in a row (95 %).", { count: needed }), " ",
    say("One trial:"), " ", trial, ". ",
    needed > 2 ? `${half === 1 ? say("After 1 clean one you can be {sure} sure.", { sure }) : say("After {count} clean ones you can be {sure} sure.", { count: half, sure })} ` : "",
    h("small", {}, say("While the fault was there it showed in {share} of the trials.", { share: figures.share(shows) })));
}

/** @param {Model} model @param {Course} way */
function odds(model, way) {
  const found = backed(model, way);
  if (!found) return null;
  const last = way.nodes[way.nodes.length - 1];
  const { causes, chance, settled } = found;
  const names = model.causes || [];
  const ranked = (causes || []).map((share, c) => ({ share, name: names[c][1] })).sort((a, b) => b.share - a.share);
  return h("section", { "aria-labelledby": "backed" }, h("h2", { id: "backed" }, say("What this path backs")),
    causes
      ? [h("p", {}, last.kind === "ending" && last.repairs && settled !== null ? `${say("It puts the fault right in {share} of the cases that come this way.", { share: figures.share(settled) })} ` : "",
        say("Likeliest cause after these results:"), " ", h("b", {}, `${ranked[0].name} ${figures.share(ranked[0].share)}`), ". ",
        say("{share} of all cases come this way.", { share: figures.share(chance) })),
      h("ul", { class: "plain-bars" }, ranked.filter(({ share }) => share >= LEAST).map(({ name, share }) => h("li", {}, h("span", {}, name), " ", h("b", {}, figures.share(share)))))]
      : [h("p", {}, say("By the odds of this playbook, these results do not happen together. Check the last result again."))]);
}

/** @param {Model} model @param {ReturnType<typeof costs>["whole"]} whole */
function atHand(model, whole) {
  const tools = [...whole.tools].sort().map((name) => model.tools[name]);
  const parts = [...whole.parts].sort(([a], [b]) => (a < b ? -1 : 1));
  /** @param {Amount} price @param {number} [count] */
  const price = ([low, , high], count = 1) => (high ? h("small", {}, ` ${figures.range(low * count, high * count, figures.money)}`) : null);
  return tools.length + parts.length ? h("section", { "aria-labelledby": "hand" }, h("h2", { id: "hand" }, say("Have at hand")),
    h("ul", { class: "boxes" },
      tools.map((tool) => h("li", {}, tool.name, price(tool.price))),
      parts.map(([name, count]) => h("li", {}, count > 1 ? `${count} × ` : "", model.parts[name].name, price(model.parts[name].price, count)))),
    parts.length ? h("p", { class: "small" }, say("Buy a part only when the results have led you to it.")) : null) : null;
}

/**
 * @param {Model} model
 * @param {Course} way
 * @param {ReturnType<typeof costs>["added"]} added
 */
function steps(model, { nodes, results }, added) {
  const cards = nodes.map((node, k) => {
    if (node.kind === "handover") {
      return h("li", { class: "card ending" }, h("h3", {}, h("span", { class: "box", "aria-hidden": "true" }),
        h("a", { href: `${root}playbook/${node.name}.html` }, say("Go on in the playbook “{title}”", { title: node.title }))));
    }
    return h("li", { class: node.kind === "ending" ? "card ending" : "card" },
      h("h3", {}, h("span", { class: "box", "aria-hidden": "true" }), node.title, node.shop ? [" ", h("span", { class: "stamp" }, say("workshop only"))] : null),
      hazardsOf(node).filter((name) => BANNER.includes(name)).map((name) => panel(model, name)),
      said(node),
      h("p", { class: "cost" }, h("span", {}, figures.money(added[k][0])), " ", h("span", {}, figures.minutes(added[k][1]))),
      node.kind === "step" ? goesOn(model, node, results[k]) : proving(node));
  });
  return h("section", { "aria-labelledby": "steps" }, h("h2", { id: "steps" }, say("Steps")),
    h("p", { class: "small" }, say("Likely figures. Each counts what it adds: a tool that is bought and a panel that is open do not count again.")),
    h("ol", { class: "sheet-steps" }, cards));
}

/**
 * The banner of a way, if it has one, and its sheet.
 * @param {Model} model
 * @param {string[]} names results, as far as they are known
 * @param {Settings} own
 */
export function paper(model, names, own) {
  const way = course(model, names);
  const { nodes, results } = way;
  const last = nodes[nodes.length - 1];
  const { added, whole } = costs(model, nodes, own);
  const met = Object.keys(model.hazards).filter((name) => nodes.some((node) => hazardsOf(node).includes(name)));
  const first = met.filter((name) => BANNER.includes(name));
  const others = met.filter((name) => !BANNER.includes(name));
  const book = `${root}playbook/${model.slug}.html`;
  const sheet = h("div", { id: "sheet" },
    h("p", { class: "crumbs" }, h("a", { href: book }, model.title), " › ", say("Job sheet")),
    h("h1", {}, last.title),
    h("dl", { class: "fields" },
      field(say("Fault reported"), model.summary),
      results.length ? field(say("Led here by"), results.map((result, k) => h("span", {}, k ? " → " : "", built(result.html, "span")))) : null,
      model.vehicles.length ? field(say("Vehicle"), model.vehicles.join(", ")) : null,
      h("div", { class: "fill" }, h("dt", {}, say("Date, mileage")), h("dd", {}))),
    h("dl", { class: "figures" },
      figure(say("Money"), whole.money, figures.money), figure(say("Time"), whole.minutes, figures.minutes),
      figure(say("Workshop price"), whole.shopMoney, figures.money)),
    odds(model, way),
    atHand(model, whole),
    others.length ? h("section", { "aria-labelledby": "hazards" }, h("h2", { id: "hazards" }, say("What can hurt you here")), others.map((name) => panel(model, name))) : null,
    steps(model, way, added),
    h("section", { class: "notes", "aria-labelledby": "notes" }, h("h2", { id: "notes" }, say("Notes")), h("div", { class: "lines", "aria-hidden": "true" })));
  const banner = first.length ? h("section", { class: "banner", role: "region", "aria-label": say("Safety banner") }, first.map((name) => panel(model, name))) : null;
  return { banner, sheet, title: last.title };
}
