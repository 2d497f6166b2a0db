/* Choosers: controls for what is taken from the catalogue, one after the other. */

/** @import { Desk, Field, WorkText } from "./shapes.js" */
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { idOf } from "./book.js";
import { wholeBook } from "./modelling.js";
import { workName } from "./naming.js";

/** @typedef {[name: string, shown: string][]} Choices */

/**
 * What a field chooses from.
 * @param {Desk} desk
 * @param {string} name
 * @returns {Choices}
 */
function choicesOf({ data, draft }, name) {
  if (name === "accept") return [];
  const kind = name === "no_hazards" ? "hazards" : name;
  if (kind === "after") return draft.book.steps.map(({ id }) => [id, workName(wholeBook(draft.book, data), id)]);
  const table = kind === "tools" ? data.tools : kind === "parts" ? data.parts : kind === "access" ? data.access : data.hazards;
  return Object.entries(table).map(([id, one]) => [id, one.name]);
}

/**
 * A list of what is chosen, with a button to take each out, and a list to choose from.
 * @param {Field} field
 * @param {string} at
 * @param {Choices} choices
 * @param {() => string[]} chosen
 * @param {(name: string) => void} add
 * @param {(name: string) => void} remove
 * @param {(name: string) => HTMLElement | null} [beside] what stands beside a chosen one
 */
export function chooser(field, at, choices, chosen, add, remove, beside = () => null) {
  const id = idOf(at);
  const shown = new Map(choices);
  const list = h("ul", { class: "chosen" });
  const select = h("select", { id, "aria-describedby": `${id}-said` });
  const draw = () => {
    const now = chosen();
    list.replaceChildren(...now.map((name) => h("li", {}, h("span", { "data-names": field.name === "after" ? name : null }, shown.get(name) || name), beside(name),
      h("button", { type: "button", class: "small-button", onclick: () => { remove(name); draw(); select.focus(); }, "aria-label": say("Take out {name}", { name: shown.get(name) || name }) }, "×"))));
    list.hidden = !now.length;
    select.replaceChildren(h("option", { value: "" }, say("choose …")), ...choices.filter(([name]) => !now.includes(name)).map(([name, text]) => h("option", { value: name }, text)));
  };
  select.addEventListener("change", () => {
    if (!select.value) return;
    add(select.value);
    draw();
  });
  draw();
  return h("div", { class: "control", "data-at": at }, h("label", { for: id }, field.label, h("small", {}, ` ${say("(if any)")}`)), list, select,
    h("p", { id: `${id}-said`, class: "said", hidden: true }));
}

/**
 * Names of the catalogue.
 * @param {Desk} desk
 * @param {Field} field
 * @param {string[]} value
 * @param {(value: string[]) => void} keep
 * @param {string} at
 */
export function names(desk, field, value, keep, at) {
  let now = value;
  /** @param {string[]} next */
  const set = (next) => keep(now = next);
  return chooser(field, at, choicesOf(desk, field.name), () => now, (name) => set([...now, name]), (name) => set(now.filter((one) => one !== name)));
}

/**
 * Parts of the catalogue, each with its number.
 * @param {Desk} desk
 * @param {Field} field
 * @param {NonNullable<WorkText["parts"]>} value
 * @param {(value: WorkText["parts"]) => void} keep
 * @param {string} at
 */
export function parts(desk, field, value, keep, at) {
  /** @type {[string, string][]} */
  let now = value.map((one) => (typeof one === "string" ? [one, "1"] : one));
  /** @param {[string, string][]} next */
  const set = (next) => {
    now = next;
    keep(now.every(([, count]) => count === "1") ? now.map(([name]) => name) : now);
  };
  /** @param {string} name */
  const count = (name) => {
    const input = h("input", { type: "number", min: 1, max: 999, step: 1, "aria-label": say("How many") });
    input.value = (now.find(([one]) => one === name) || ["", "1"])[1];
    input.addEventListener("input", () => {
      if (input.validity.valid && input.value) set(now.map(([one, old]) => [one, one === name ? String(Number(input.value)) : old]));
    });
    return input;
  };
  return chooser(field, at, choicesOf(desk, "parts"), () => [...new Set(now.map(([name]) => name))], (name) => set([...now, [name, "1"]]), (name) => set(now.filter(([one]) => one !== name)), count);
}

/**
 * Steps that must have been done before; the results that allow it stay as they are.
 * @param {Desk} desk
 * @param {Field} field
 * @param {NonNullable<WorkText["after"]>} value
 * @param {string} self
 * @param {(value: WorkText["after"]) => void} keep
 * @param {string} at
 */
export function earlier(desk, field, value, self, keep, at) {
  let now = /** @type {(string | [string, string[]])[]} */ (value);
  /** @param {string | [string, string[]]} one */
  const nameOf = (one) => (typeof one === "string" ? one : one[0]);
  /** @param {(string | [string, string[]])[]} next */
  const set = (next) => {
    now = next;
    const mixed = now.some((one) => typeof one !== "string");
    keep(/** @type {WorkText["after"]} */ (mixed ? now.map((one) => (typeof one === "string" ? [one, []] : one)) : now));
  };
  return chooser(field, at, choicesOf(desk, "after").filter(([id]) => id !== self), () => now.map(nameOf), (name) => set([...now, name]), (name) => set(now.filter((one) => nameOf(one) !== name)));
}

/**
 * Answers by name: a hazard with why it does not apply, a rule with why its warning shall stay.
 * @param {Desk} desk
 * @param {Field} field
 * @param {[string, string][]} value
 * @param {(value: [string, string][]) => void} keep
 * @param {string} at
 */
export function answers(desk, field, value, keep, at) {
  /** @type {[string, string][]} */
  let now = value;
  const choices = choicesOf(desk, field.name);
  /** @param {[string, string][]} next */
  const set = (next) => keep(now = next);
  /** @param {string} name */
  const why = (name) => {
    const input = h("input", { type: "text", "aria-label": say("Why"), placeholder: say("Why") });
    input.value = (now.find(([one]) => one === name) || ["", ""])[1];
    input.addEventListener("input", () => set(now.map(([one, old]) => [one, one === name ? input.value.trim() : old])));
    return input;
  };
  if (field.name === "accept" && !value.length) return h("span", { hidden: true });
  return chooser(field, at, choices, () => now.map(([name]) => name), (name) => set([...now, [name, ""]]), (name) => set(now.filter(([one]) => one !== name)), why);
}
