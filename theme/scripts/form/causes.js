/* The causes: what may be wrong, each with its share, and what the shares leave over. */

/** @import { CauseText, Desk, EndingText } from "./shapes.js" */
import { h, put as write } from "../show/dom.js";
import { share } from "../show/figures.js";
import { say } from "../site/words.js";
import { idOf, unnamed } from "./book.js";
import { control, others } from "./controls.js";
import { causeName } from "./naming.js";
import { percent } from "./notation.js";

/**
 * The part of the form about causes.
 * @param {Desk} desk
 */
export function causesPart(desk) {
  const { causes } = desk.draft.book;
  const add = () => {
    const id = unnamed(desk.draft.book);
    causes.push({ id });
    desk.changed();
    desk.redraw(idOf(`causes.${id}.name`));
  };
  return [
    h("p", {}, say("What may be behind the symptom? Give each cause its share: of 100 cars with this symptom, how many have it? The shares may leave something over for causes that nobody names.")),
    h("ul", { class: "causes-list" }, causes.map((cause, k) => causeRow(desk, cause, k))),
    h("p", { id: idOf("causes"), tabindex: -1, class: "left-over", "data-at": "causes" }, say("Left for something else: {share}", { share: "" }).trim(), " ", h("b", { "data-left": true }, "")),
    h("p", { id: `${idOf("causes")}-said`, class: "said", hidden: true }),
    h("p", {}, h("button", { type: "button", class: "quiet", onclick: add }, say("Add a cause"))),
  ];
}

/**
 * @param {Desk} desk
 * @param {CauseText} cause
 * @param {number} k
 */
function causeRow(desk, cause, k) {
  const at = `causes.${cause.id}`;
  const remove = () => {
    forget(desk, cause.id);
    desk.changed();
    desk.redraw(idOf("causes"));
  };
  return h("li", { id: idOf(at), tabindex: -1 },
    h("div", { class: "pair" }, control(desk, "Cause", "name", cause, at, k ? "" : undefined), control(desk, "Cause", "share", cause, at, k ? "" : undefined)),
    h("details", { class: "more", open: Boolean(cause.note) }, h("summary", {}, say("More")), others(desk, "Cause", cause, at, ["name", "share"]),
      h("p", {}, h("button", { type: "button", class: "small-button", onclick: remove }, say("Delete this cause")))));
}

/**
 * Takes a cause out, and out of everything that speaks of it.
 * @param {Desk} desk
 * @param {string} id
 */
function forget({ draft: { book } }, id) {
  book.causes = book.causes.filter((cause) => cause.id !== id);
  for (const result of book.steps.flatMap(({ results }) => results)) {
    if (!Array.isArray(result.chance)) continue;
    result.chance = result.chance.filter(([cause]) => cause !== id);
    if (!result.chance.length) delete result.chance;
  }
  for (const ending of book.endings) {
    if (!Array.isArray(ending.settles)) continue;
    ending.settles = ending.settles.filter((cause) => cause !== id);
    if (!ending.settles.length) delete ending.settles;
  }
}

/**
 * Write what the shares leave over.
 * @param {Desk} desk
 * @param {ParentNode} within
 */
export function refreshShares({ draft }, within) {
  const sum = draft.book.causes.reduce((whole, cause) => whole + (percent(cause.share) || 0), 0);
  for (const place of within.querySelectorAll("[data-left]")) {
    write(place, sum > 1 + 1e-9 ? say("{over} too much", { over: share(sum - 1) }) : share(Math.max(0, 1 - sum)));
  }
}

/**
 * The choice of the causes that an ending puts right.
 * @param {Desk} desk
 * @param {EndingText} ending
 */
export function settlesChoice(desk, ending) {
  const at = `endings.${ending.id}.settles`, id = idOf(at);
  const { causes } = desk.draft.book;
  const all = ending.settles === "all" || (Array.isArray(ending.settles) && ending.settles.includes("all"));
  /** @type {[string, string][]} */
  const rows = [...causes.map(({ id: cause }) => /** @type {[string, string]} */ ([cause, causeName(desk.draft.book, cause)])), ["all", say("whatever it is")]];
  const boxes = rows.map(([cause, shown]) => {
    const input = h("input", { type: "checkbox", value: cause });
    input.checked = cause === "all" ? all : (ending.settles || []).includes(cause);
    return h("label", {}, input, " ", h("span", { "data-names": cause === "all" ? null : cause }, shown));
  });
  const set = h("fieldset", { class: "control", id, tabindex: -1, "data-at": at }, h("legend", {}, say("Which causes does it put right?")),
    h("p", { class: "small" }, say("None, if it hands over to a professional or leaves it.")), boxes);
  set.addEventListener("change", () => {
    const chosen = [...set.querySelectorAll("input")].filter(({ checked }) => checked).map(({ value }) => value);
    if (!chosen.length) delete ending.settles;
    else ending.settles = chosen.includes("all") ? "all" : chosen;
    desk.changed();
  });
  return set;
}

