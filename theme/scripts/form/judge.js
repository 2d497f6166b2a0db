/* What is to be mended in a playbook, in words, while it is filled in. The check of the library has the last word. */

/** @import { Book, Field, Finding, FormData, StepText } from "./shapes.js" */
import { say } from "../site/words.js";
import { hazardFindings } from "./judgehazards.js";
import { oddsFindings } from "./judgeodds.js";
import { wayFindings } from "./judgeway.js";
import { workFindings } from "./judgework.js";
import { wholeBook } from "./modelling.js";
import { causeName, workName } from "./naming.js";
import { amount } from "./notation.js";

/** Kinds of fields whose values are amounts. */
const AMOUNTS = ["money", "time", "wait"];
/** Kinds that are chosen, not typed, or looked at where they belong. */
const NAMING = ["chance", "next", "settles", "parts", "after", "name"];

/**
 * Everything that is to be mended or thought about, what stops a playbook first.
 * @param {Book} book
 * @param {string} area
 * @param {FormData} data
 * @returns {Finding[]}
 */
export function judge(book, area, data) {
  const whole = wholeBook(book, data);
  const found = [
    ...recordFindings("Playbook", /** @type {any} */ (book), "", whole, data),
    ...oddsFindings(whole), ...wayFindings(whole), ...workFindings(whole, data), ...hazardFindings(whole, area, data),
  ];
  if (!area) found.unshift({ at: "area", says: say("Choose the area that it belongs to."), severe: true, empty: true });
  return [...found.filter(({ severe }) => severe), ...found.filter(({ severe }) => !severe)];
}

/**
 * @param {string} record
 * @param {Record<string, any>} value
 * @param {string} at
 * @param {Book} book
 * @param {FormData} data
 * @returns {Finding[]}
 */
function recordFindings(record, value, at, book, data) {
  return data.records[record].flatMap((field) => {
    const place = at ? `${at}.${field.name}` : field.name;
    const inner = value[field.name];
    if (inner === undefined) {
      const needed = field.required && field.name !== "format" && !isSaidElsewhere(record, field, value, at, book, data);
      return needed ? [{ at: place, says: inPlace(book, at, say("“{label}” is still empty.", { label: field.label })), severe: true, empty: true }] : [];
    }
    if (field.kind === "map") return inner.flatMap((/** @type {{id: string}} */ one) => recordFindings(field.of, one, `${place}.${one.id}`, book, data));
    if (field.kind === "record") return recordFindings(field.of, inner, place, book, data);
    return valueFindings(field, inner, place, data).map((one) => ({ ...one, says: inPlace(book, at, one.says) }));
  });
}

/**
 * A finding with what it is about in front of it.
 * @param {Book} book
 * @param {string} at
 * @param {string} says
 */
function inPlace(book, at, says) {
  const [part, id] = at.split(".");
  if (id === undefined || !["causes", "steps", "endings"].includes(part)) return says;
  return say("{part}: {says}", { part: part === "causes" ? causeName(book, id) : workName(book, id), says });
}

/**
 * Whether a common check says what a step or a result leaves out.
 * @param {string} record
 * @param {Field} field
 * @param {Record<string, any>} value
 * @param {string} at
 * @param {Book} book
 * @param {FormData} data
 */
function isSaidElsewhere(record, field, value, at, book, data) {
  if (record === "Step" && field.name === "title") return value.check !== undefined;
  if (record !== "Result" || field.name !== "expect") return false;
  /** @param {StepText} step */
  const holds = (step) => at.startsWith(`steps.${step.id}.results.`);
  const check = book.steps.find(holds)?.check;
  return check !== undefined && Object.hasOwn(data.checks, check);
}

/**
 * Whether a value is in the notation of its field.
 * @param {Field} field
 * @param {any} value
 * @param {string} at
 * @param {FormData} data
 * @returns {Finding[]}
 */
function valueFindings(field, value, at, data) {
  if (AMOUNTS.includes(field.kind)) {
    if (amount(field.kind, value)) return [];
    const text = typeof value === "string" ? value : Object.values(value).join(" / ");
    return [{ at, says: said(field, text, data.notations[field.kind].says), severe: true }];
  }
  if (field.kind === "answers") {
    const empty = value.some((/** @type {[string, string]} */ [, why]) => !why);
    return empty ? [{ at, says: say("“{label}”: say why.", { label: field.label }), severe: true, empty: true }] : [];
  }
  const kind = field.kind === "list" ? field.of : field.kind;
  const notation = data.notations[kind];
  if (!notation || NAMING.includes(kind)) return [];
  const pattern = new RegExp(notation.pattern, "u");
  const texts = Array.isArray(value) ? value : [value];
  return texts.filter((text) => typeof text === "string" && !pattern.test(text))
    .map((text) => ({ at, says: said(field, text, notation.says), severe: true }));
}

/** @param {Field} field @param {string} text @param {string} hint */
const said = ({ label }, text, hint) => say("“{label}”: {text} cannot be read; {hint}.", { label, text, hint });
