/* Steps and endings as cards to fill in. */

/** @import { Desk, EndingText, NextText, ResultText, StepText } from "./shapes.js" */
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { idOf, put, unnamed } from "./book.js";
import { settlesChoice } from "./causes.js";
import { chanceTable } from "./chancetable.js";
import { earlier } from "./choosers.js";
import { control, fieldOf, labelled, others } from "./controls.js";
import { wholeBook } from "./modelling.js";
import { workName } from "./naming.js";

/** Fields of a card that stand in the open. */
const PLAIN = ["title", "do", "time", "tools", "parts", "hazards"];

/**
 * The part of the form about steps.
 * @param {Desk} desk
 */
export function stepsPart(desk) {
  const { book } = desk.draft;
  const checks = Object.entries(desk.data.checks);
  const fromCheck = h("select", { id: "add-check" }, h("option", { value: "" }, say("choose …")), checks.map(([name, check]) => h("option", { value: name }, check.title || name)));
  fromCheck.addEventListener("change", () => { if (fromCheck.value) desk.redraw(idOf(`steps.${newStep(desk, fromCheck.value).id}.title`)); });
  const add = () => desk.redraw(idOf(`steps.${newStep(desk).id}.title`));
  return [
    h("p", {}, say("A step is something to look at, to measure or to try. Begin with what is quick and costs nothing. Each result says what one may see, and what comes next.")),
    book.order === "best" ? h("p", { class: "note" }, say("The order of the steps is worked out when the site is built.")) : startChoice(desk),
    h("div", { id: idOf("steps"), tabindex: -1 }, book.steps.map((step, k) => stepCard(desk, step, k))),
    h("p", { class: "buttons" }, h("button", { type: "button", class: "quiet", onclick: add }, say("Add a step")),
      checks.length ? h("label", { class: "beside" }, say("or a common check:"), " ", fromCheck) : null),
  ];
}

/**
 * The part of the form about endings.
 * @param {Desk} desk
 */
export function endingsPart(desk) {
  const { book } = desk.draft;
  const add = () => desk.redraw(idOf(`endings.${newEnding(desk).id}.title`));
  return [
    h("p", {}, say("An ending is where a way stops: a repair, the hand-over to a professional, or “leave it”.")),
    h("div", { id: idOf("endings"), tabindex: -1 }, book.endings.map((ending) => endingCard(desk, ending))),
    h("p", {}, h("button", { type: "button", class: "quiet", onclick: add }, say("Add an ending"))),
  ];
}

/**
 * @param {Desk} desk
 * @param {string} [check]
 * @returns {StepText}
 */
function newStep(desk, check) {
  const { book } = desk.draft;
  /** @type {StepText} */
  const step = { id: unnamed(book), results: [] };
  book.steps.push(step);
  if (check) {
    step.check = check;
    step.results = Object.keys(desk.data.checks[check].results || {}).map((id) => ({ id }));
    step.results.slice(-1).forEach((result) => { if (step.results.length > 1) result.chance = "rest"; });
  } else {
    step.results.push({ id: unnamed(book) });
    step.results.push({ id: unnamed(book), chance: "rest" });
  }
  if (!book.start && book.order !== "best") book.start = step.id;
  desk.changed();
  return step;
}

/** @param {Desk} desk @returns {EndingText} */
function newEnding(desk) {
  const ending = { id: unnamed(desk.draft.book) };
  desk.draft.book.endings.push(ending);
  desk.changed();
  return ending;
}

/** @param {Desk} desk */
function startChoice(desk) {
  const { book } = desk.draft;
  const select = h("select", {}, book.steps.map(({ id }) => h("option", { value: id, "data-names": id }, workName(wholeBook(book, desk.data), id))));
  select.value = book.start || "";
  select.addEventListener("change", () => {
    put(book, "start", select.value, desk.data.records.Playbook);
    desk.changed();
  });
  return labelled({ ...fieldOf(desk, "Playbook", "start"), label: say("The first step"), required: true }, "start", select);
}

/**
 * Takes a step or an ending out, and out of all that leads to it.
 * @param {Desk} desk
 * @param {string} id
 */
function forget({ draft: { book } }, id) {
  book.steps = book.steps.filter((step) => step.id !== id);
  book.endings = book.endings.filter((ending) => ending.id !== id);
  for (const result of book.steps.flatMap(({ results }) => results)) if (result.next === id) delete result.next;
  for (const work of [...book.steps, ...book.endings]) {
    const after = /** @type {(string | [string, string[]])[]} */ (work.after || []).filter((one) => (typeof one === "string" ? one : one[0]) !== id);
    if (after.length) work.after = /** @type {typeof work.after} */ (after);
    else delete work.after;
  }
  if (book.start === id) book.start = book.steps[0]?.id;
  if (!book.start) delete book.start;
}

/**
 * @param {Desk} desk
 * @param {StepText | EndingText} work
 * @param {string} part
 */
function deletion(desk, work, part) {
  const remove = () => {
    forget(desk, work.id);
    desk.changed();
    desk.redraw(idOf(part));
  };
  return h("button", { type: "button", class: "small-button", onclick: remove }, part === "steps" ? say("Delete this step") : say("Delete this ending"));
}

/**
 * Moves a step among the others; the order of the page follows the way, this is the order of the file.
 * @param {Desk} desk
 * @param {StepText} step
 * @param {number} by
 */
function move(desk, step, by) {
  const { steps } = desk.draft.book, from = steps.indexOf(step), to = from + by;
  if (to < 0 || to >= steps.length) return;
  steps.splice(from, 1);
  steps.splice(to, 0, step);
  desk.changed();
  desk.redraw(idOf(`steps.${step.id}`));
}

/**
 * @param {Desk} desk
 * @param {StepText} step
 * @param {number} k
 */
function stepCard(desk, step, k) {
  const at = `steps.${step.id}`, check = step.check !== undefined && Object.hasOwn(desk.data.checks, step.check) ? desk.data.checks[step.check] : null;
  const add = () => {
    const id = unnamed(desk.draft.book);
    step.results.push({ id });
    desk.changed();
    desk.redraw(idOf(`${at}.results.${id}.expect`));
  };
  const shown = check ? say("As the common check “{check}” says; what is written here goes first.", { check: check.title || String(step.check) }) : undefined;
  return h("details", { class: "card", id: idOf(at), "data-at": at, open: step.id.startsWith("~") },
    h("summary", {}, h("h3", {}, h("span", { class: "number" }, String(k + 1)), " ", h("span", { "data-names": step.id }, workName(wholeBook(desk.draft.book, desk.data), step.id)))),
    h("div", { "data-panels": step.id }),
    shown ? h("p", { class: "small" }, shown) : null,
    PLAIN.map((name) => control(desk, "Step", name, step, at, check && name === "title" ? "" : undefined)),
    moreOf(desk, "Step", step, at),
    h("h4", {}, say("What may one see?")),
    step.results.map((result) => resultRow(desk, step, result, at)),
    check ? null : h("p", {}, h("button", { type: "button", class: "quiet", onclick: add }, say("Add a result"))),
    chanceTable(desk, step),
    h("p", { class: "buttons" },
      k ? h("button", { type: "button", class: "small-button", onclick: () => move(desk, step, -1) }, say("Move up")) : null,
      k + 1 < desk.draft.book.steps.length ? h("button", { type: "button", class: "small-button", onclick: () => move(desk, step, 1) }, say("Move down")) : null,
      deletion(desk, step, "steps")));
}

/**
 * What is seldom asked for.
 * @param {Desk} desk
 * @param {"Step" | "Ending"} record
 * @param {StepText | EndingText} work
 * @param {string} at
 */
function moreOf(desk, record, work, at) {
  const asked = new Set(Object.keys(work));
  const fields = desk.data.records[record].map(({ name }) => name).filter((name) => !PLAIN.includes(name));
  const open = ["access", "who", "wait", "cost", "preconditions", "no_hazards", "after"].some((name) => asked.has(name) && fields.includes(name));
  return h("details", { class: "more", open }, h("summary", {}, say("More: what must be opened, who may do it, waiting, what may go wrong …")),
    others(desk, record, /** @type {any} */ (work), at, PLAIN),
    earlier(desk, fieldOf(desk, record, "after"), work.after || [], work.id, (value) => {
      put(work, "after", value, desk.data.records[record]);
      desk.changed();
    }, `${at}.after`));
}

/**
 * @param {Desk} desk
 * @param {EndingText} ending
 */
function endingCard(desk, ending) {
  const at = `endings.${ending.id}`;
  return h("details", { class: "card ending", id: idOf(at), "data-at": at, open: ending.id.startsWith("~") },
    h("summary", {}, h("h3", {}, h("span", { "data-names": ending.id }, workName(desk.draft.book, ending.id)))),
    h("div", { "data-panels": ending.id }),
    control(desk, "Ending", "title", ending, at), settlesChoice(desk, ending),
    PLAIN.slice(1).map((name) => control(desk, "Ending", name, ending, at)),
    moreOf(desk, "Ending", ending, at),
    h("p", {}, deletion(desk, ending, "endings")));
}

/**
 * @param {Desk} desk
 * @param {StepText} step
 * @param {ResultText} result
 * @param {string} at
 */
function resultRow(desk, step, result, at) {
  const place = `${at}.results.${result.id}`;
  const check = step.check !== undefined && Object.hasOwn(desk.data.checks, step.check) ? desk.data.checks[step.check] : null;
  const known = check?.results && Object.hasOwn(check.results, result.id) ? check.results[result.id] : null;
  const remove = () => {
    step.results = step.results.filter((one) => one !== result);
    desk.changed();
    desk.redraw(idOf(at));
  };
  return h("div", { class: "result" },
    known && result.expect === undefined ? h("p", {}, h("b", {}, known.expect || result.id)) : control(desk, "Result", "expect", result, place),
    desk.draft.book.order === "best" ? null : nextChoice(desk, result, `${place}.next`),
    step.reading || result.range !== undefined ? control(desk, "Result", "range", result, place) : null,
    check ? null : h("button", { type: "button", class: "small-button", onclick: remove }, say("Delete this result")));
}

/**
 * The choice of what comes after a result; a new step or ending can be begun from here.
 * @param {Desk} desk
 * @param {ResultText} result
 * @param {string} at
 */
function nextChoice(desk, result, at) {
  const { book, slug } = desk.draft;
  /** @param {{id: string}} work */
  const option = ({ id }) => h("option", { value: id, "data-names": id }, workName(wholeBook(book, desk.data), id));
  const select = h("select", {},
    h("option", { value: "" }, say("choose …")),
    h("option", { value: "+step" }, say("a new step")),
    h("option", { value: "+ending" }, say("a new ending")),
    h("optgroup", { label: say("Steps") }, book.steps.map(option)),
    book.endings.length ? h("optgroup", { label: say("Endings") }, book.endings.map(option)) : null,
    h("optgroup", { label: say("Go on in another playbook") }, Object.entries(desk.data.playbooks).filter(([name]) => name !== slug).map(([name, { title }]) => h("option", { value: `>${name}` }, title))));
  select.value = typeof result.next === "object" ? `>${result.next.playbook}` : result.next || "";
  select.addEventListener("change", () => {
    const chosen = select.value;
    const made = chosen === "+step" ? newStep(desk) : chosen === "+ending" ? newEnding(desk) : null;
    /** @type {NextText | undefined} */
    const next = made ? made.id : chosen.startsWith(">") ? { playbook: chosen.slice(1) } : chosen || undefined;
    put(result, "next", next, desk.data.records.Result);
    desk.changed();
    if (made) desk.redraw(idOf(at));
  });
  return labelled({ ...fieldOf(desk, "Result", "next"), label: say("What comes next?"), required: true }, at, select);
}
