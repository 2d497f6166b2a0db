/* Controls: one for each kind of field, made of what the build says of the field. */

/** @import { AmountText, Desk, Field, Three } from "./shapes.js" */
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { idOf, put } from "./book.js";
import { answers, names, parts } from "./choosers.js";
import { clean, neat } from "./notation.js";

/** @typedef {Record<string, any>} Owner a record of the playbook */

/** Fields that take more than a line. */
/** @type {Record<string, number>} */
const LINES = { do: 5, summary: 2, expect: 2, note: 2 };
const FIGURES = ["percent", "money", "time", "wait", "range", "month", "count"];
/** Fields that the form does not ask for, or asks for in a way of its own. */
const APART = ["format", "was", "chance", "next", "results", "causes", "steps", "endings", "start", "settles", "after", "check"];

/** Fields that may be left out, and seldom should be. */
const WANTED = ["share", "do", "time", "chance"];

/**
 * The field of a record by its name.
 * @param {Desk} desk
 * @param {string} record
 * @param {string} name
 */
export function fieldOf(desk, record, name) {
  const field = desk.data.records[record].find((one) => one.name === name);
  if (!field) throw new Error(`${record} has no ${name}`);
  return field;
}

/**
 * A control with its label, what it is for, and room for what is wrong with it.
 * @param {Field} field
 * @param {string} at
 * @param {HTMLElement} control
 * @param {string} [hint]
 */
export function labelled(field, at, control, hint = "") {
  const id = idOf(at);
  control.id = id;
  control.setAttribute("aria-describedby", `${hint ? `${id}-hint ` : ""}${id}-said`);
  return h("div", { class: "control", "data-at": at },
    h("label", { for: id }, field.label, field.required || WANTED.includes(field.name) ? "" : h("small", {}, ` ${say("(if any)")}`)),
    hint ? h("small", { id: `${id}-hint`, class: "hint" }, hint) : null,
    control,
    h("p", { id: `${id}-said`, class: "said", hidden: true }));
}

/**
 * The control of a field of a record.
 * @param {Desk} desk
 * @param {string} record
 * @param {string} name
 * @param {Owner} owner
 * @param {string} at where the owner is in the playbook
 * @param {string} [hint] in place of what the format says of the field
 * @returns {HTMLElement}
 */
export function control(desk, record, name, owner, at, hint) {
  const field = fieldOf(desk, record, name), fields = desk.data.records[record];
  const place = at ? `${at}.${name}` : name;
  /** @param {unknown} value */
  const keep = (value) => {
    put(owner, name, value, fields);
    desk.changed();
  };
  const says = hint ?? (field.example ? say("For example: {example}", { example: field.example }) : "");
  if (field.kind === "record") return recordControl(desk, field, owner, place);
  if (field.kind === "answers") return answers(desk, field, owner[name] || [], keep, place);
  if (field.kind === "parts") return parts(desk, field, owner[name] || [], keep, place);
  if (field.kind === "list" && field.of === "name") return names(desk, field, owner[name] || [], keep, place);
  if (field.kind === "list") return labelled(field, place, listControl(owner[name] || [], keep), say("One a line."));
  if (field.kind === "choice") return labelled(field, place, choiceControl(desk, field, owner[name] || "", keep));
  if (typeof owner[name] === "object") return threeControl(field, owner[name], keep, place);
  return labelled(field, place, textControl(field, owner[name] || "", keep), says);
}

/**
 * All fields of a record that are not asked for elsewhere.
 * @param {Desk} desk
 * @param {string} record
 * @param {Owner} owner
 * @param {string} at
 * @param {string[]} [asked]
 */
export const others = (desk, record, owner, at, asked = []) => desk.data.records[record]
  .filter(({ name }) => !APART.includes(name) && !asked.includes(name))
  .map(({ name }) => control(desk, record, name, owner, at));

/**
 * @param {Field} field
 * @param {string} value
 * @param {(value: string) => void} keep
 */
function textControl({ name, kind }, value, keep) {
  const lines = LINES[name] || 1;
  const figure = FIGURES.includes(kind);
  const shown = value.trim();
  const input = lines > 1 ? h("textarea", { rows: lines }) : h("input", { type: "text", class: figure ? "figure-input" : null, inputmode: kind === "percent" || kind === "count" ? "decimal" : null, autocomplete: "off" });
  input.value = shown;
  const read = () => {
    const text = figure ? neat(kind, input.value) : clean(input.value);
    return text.includes("\n") ? `${text}\n` : text;
  };
  input.addEventListener("input", () => keep(read()));
  if (figure) input.addEventListener("change", () => { input.value = read(); });
  return input;
}

/**
 * @param {string[]} value
 * @param {(value: string[]) => void} keep
 */
function listControl(value, keep) {
  const input = h("textarea", { rows: Math.max(2, value.length) });
  input.value = value.join("\n");
  input.addEventListener("input", () => keep(clean(input.value).split("\n").map((line) => line.trim()).filter(Boolean)));
  return input;
}

/**
 * @param {Desk} desk
 * @param {Field} field
 * @param {string} value
 * @param {(value: string) => void} keep
 */
function choiceControl({ data }, { options }, value, keep) {
  const select = h("select", { onchange: () => keep(select.value) }, h("option", { value: "" }, "–"),
    options.map((one) => h("option", { value: one }, data.options[one] || one)));
  select.value = value;
  return select;
}

/**
 * An amount of three values.
 * @param {Field} field
 * @param {Three} value
 * @param {(value: AmountText) => void} keep
 * @param {string} at
 */
function threeControl(field, value, keep, at) {
  const now = { ...value };
  const shown = { low: say("least"), likely: say("likeliest"), high: say("most") };
  const inputs = /** @type {(keyof Three)[]} */ (["low", "likely", "high"]).map((key) => {
    const input = h("input", { type: "text", class: "figure-input", autocomplete: "off" });
    input.value = now[key];
    input.addEventListener("input", () => {
      now[key] = neat(field.kind, input.value);
      keep({ ...now });
    });
    input.addEventListener("change", () => { input.value = now[key]; });
    return h("label", {}, shown[key], " ", input);
  });
  const id = idOf(at);
  return h("fieldset", { class: "control three", id, "data-at": at, "aria-describedby": `${id}-said` }, h("legend", {}, field.label), inputs,
    h("p", { id: `${id}-said`, class: "said", hidden: true }));
}

/**
 * A record within a record.
 * @param {Desk} desk
 * @param {Field} field
 * @param {Owner} owner
 * @param {string} at
 */
function recordControl(desk, field, owner, at) {
  const inner = owner[field.name] || {};
  const fields = desk.data.records[field.of];
  /** @type {Desk} */
  const within = {
    ...desk,
    changed: () => {
      const outer = /** @type {any} */ (desk.data.records[ownerOf(desk, field)]);
      put(owner, field.name, inner, outer);
      desk.changed();
    },
  };
  return h("details", { class: "more", open: Object.keys(inner).length > 0 }, h("summary", {}, field.label), h("p", { class: "small" }, plain(field.says)),
    fields.map(({ name }) => control(within, field.of, name, inner, at)));
}

/**
 * The record that has a field.
 * @param {Desk} desk
 * @param {Field} field
 */
const ownerOf = ({ data }, field) => Object.keys(data.records).find((name) => data.records[name].includes(field)) || "";

/** What the format says, without the marks of code. @param {string} says */
export const plain = (says) => says.replace(/`/g, "");
