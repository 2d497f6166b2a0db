/* The chances of a step as a table: a row for each cause, a column for each result. */

/** @import { Book, ChanceText, Desk, ResultText, StepText } from "./shapes.js" */
import { h, put as write } from "../show/dom.js";
import { share } from "../show/figures.js";
import { say } from "../site/words.js";
import { idOf, put } from "./book.js";
import { UNLISTED, chancesOf, completed, sharesOf } from "./modelling.js";
import { causeName, resultName } from "./naming.js";
import { neat } from "./notation.js";

const OTHERWISE = "otherwise";
const REST = "rest";

/** @param {ChanceText | undefined} chance @returns {Map<string, string>} */
const percents = (chance) => (typeof chance === "string" ? new Map(chance === REST ? [] : [[OTHERWISE, chance]]) : new Map(chance));

/**
 * A chance with the percentage of one cause changed.
 * @param {ChanceText | undefined} chance
 * @param {string} cause
 * @param {string} percent
 * @returns {ChanceText | undefined}
 */
export function withPercent(chance, cause, percent) {
  const all = percents(chance);
  const otherwise = cause === OTHERWISE ? percent : all.get(OTHERWISE);
  if (!percent) all.delete(cause);
  else if (cause !== OTHERWISE) all.set(cause, percent);
  all.delete(OTHERWISE);
  if (otherwise && !all.size) return otherwise;
  return all.size ? [...all, ...(otherwise ? [/** @type {[string, string]} */ ([OTHERWISE, otherwise])] : [])] : undefined;
}

/**
 * The causes that a table has rows for: what is not listed is one where the shares leave room for it.
 * @param {Book} book
 * @returns {[id: string, shown: string][]}
 */
function rowsOf(book) {
  const shares = sharesOf(book);
  const room = !shares || Number(shares.at(-1)) > 1e-9;
  return [
    ...book.causes.map(({ id }) => /** @type {[string, string]} */ ([id, causeName(book, id)])),
    ...(room ? [/** @type {[string, string]} */ ([UNLISTED, say("something else")])] : []),
    [OTHERWISE, say("all that are left empty above")],
  ];
}

/**
 * The table, and the choice of the result that takes the rest.
 * @param {Desk} desk
 * @param {StepText} step
 */
export function chanceTable(desk, step) {
  const { book } = desk.draft, at = `steps.${step.id}.results`;
  if (step.results.length < 2 || !book.causes.length) return h("p", { class: "small" }, step.results.length < 2 ? "" : say("Name causes first; then say here how likely each result is."));
  const rows = rowsOf(book), whole = completed(step, desk.data);
  const head = h("tr", {}, h("th", { scope: "col" }, say("If it is …")), whole.results.map((result) => h("th", { scope: "col", "data-expect": result.id }, resultName(whole, result.id))));
  const body = rows.map(([cause, shown]) => h("tr", { class: cause === OTHERWISE ? "others" : null },
    h("th", { scope: "row", "data-names": cause === OTHERWISE || cause === UNLISTED ? null : cause }, shown),
    step.results.map((result) => h("td", {}, cell(desk, result, cause, `${shown}: ${resultName(whole, result.id)}`)))));
  return h("div", { class: "chances", id: idOf(at), "data-at": at, tabindex: -1 },
    h("h5", {}, say("How likely is each result?")),
    h("p", { class: "small" }, say("In percent, for each cause by itself: if this were the cause, how often would one see this? A rough guess will do.")),
    restChoice(desk, step, whole),
    h("div", { class: "frame", tabindex: 0, role: "group", "aria-label": say("How likely is each result?") }, h("table", { "data-step": step.id }, h("thead", {}, head), h("tbody", {}, body))),
    h("p", { id: `${idOf(at)}-said`, class: "said", hidden: true }));
}

/**
 * @param {Desk} desk
 * @param {ResultText} result
 * @param {string} cause
 * @param {string} label
 */
function cell(desk, result, cause, label) {
  if (result.chance === REST) return h("span", { "data-rest": cause }, "");
  const fields = desk.data.records.Result, given = percents(result.chance);
  const input = h("input", { type: "text", class: "percent", inputmode: "decimal", autocomplete: "off", "aria-label": label, "data-cell": result.id, "data-cause": cause });
  input.value = given.get(cause) || "";
  input.addEventListener("input", () => {
    put(result, "chance", withPercent(result.chance, cause, neat("percent", input.value)), fields);
    desk.changed();
  });
  input.addEventListener("change", () => { input.value = percents(result.chance).get(cause) || ""; });
  return input;
}

/**
 * @param {Desk} desk
 * @param {StepText} step
 * @param {StepText} whole the step as its common check completes it
 */
function restChoice(desk, step, whole) {
  const id = `${idOf(`steps.${step.id}.results`)}-rest`;
  const fields = desk.data.records.Result;
  const select = h("select", { id }, h("option", { value: "" }, say("none: all are given")),
    whole.results.map((result) => h("option", { value: result.id, "data-expect": result.id }, resultName(whole, result.id))));
  select.value = (step.results.find(({ chance }) => chance === REST) || { id: "" }).id;
  select.addEventListener("change", () => {
    for (const result of step.results) {
      if (result.id === select.value) put(result, "chance", REST, fields);
      else if (result.chance === REST) put(result, "chance", undefined, fields);
    }
    desk.changed();
    desk.redraw(id);
  });
  return h("p", { class: "control" }, h("label", { for: id }, say("What is left of 100 % goes to")), " ", select);
}

/**
 * Write into the tables what follows from what was typed: the rest, and what empty cells take.
 * @param {Desk} desk
 * @param {ParentNode} within
 */
export function refreshChances({ draft, data }, within) {
  for (const step of draft.book.steps) {
    const table = within.querySelector(`table[data-step="${step.id}"]`);
    if (!table) continue;
    const causes = [...draft.book.causes.map(({ id }) => id), UNLISTED];
    const chances = chancesOf(completed(step, data), causes);
    for (const place of table.querySelectorAll("[data-rest]")) {
      const c = causes.indexOf(place.getAttribute("data-rest") || ""), k = step.results.findIndex(({ chance }) => chance === REST);
      write(place, chances && c >= 0 ? share(chances[k][c]) : "");
    }
    for (const { id, chance } of step.results) {
      const otherwise = percents(chance).get(OTHERWISE) || "";
      for (const place of table.querySelectorAll(`[data-cell="${id}"]:not([data-cause="${OTHERWISE}"])`)) place.setAttribute("placeholder", otherwise);
    }
  }
}

