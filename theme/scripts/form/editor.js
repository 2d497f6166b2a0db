/* The form itself: its parts, what they come to while one types, and the draft that is kept. */

/** @import { Child } from "../show/dom.js" */
/** @import { Book, Desk } from "./shapes.js" */
import { onProblem, problem } from "../device/disk.js";
import { all, h, one, put as write } from "../show/dom.js";
import { say } from "../site/words.js";
import { idOf } from "./book.js";
import { endingsPart, stepsPart } from "./cards.js";
import { causesPart, refreshShares } from "./causes.js";
import { refreshChances } from "./chancetable.js";
import { control, others } from "./controls.js";
import { handingPart, refreshHanding } from "./handing.js";
import { keepDraft, onOtherTab, removeDraft } from "./drafts.js";
import { hazardsOf, wholeBook } from "./modelling.js";
import { inShort, outlookOf, showBeside, showGuesses, showOutlook } from "./outlook.js";
import { when } from "./start.js";

const PAUSE = 250;
/** How long nobody has typed when what takes longer is reckoned. */
const REST = 1200;
/** Fields of a playbook that stand in the open. */
const PLAIN = ["title", "symptom", "no_hazards"];

/** @type {(() => void) | null} */
let flush = null;
addEventListener("pagehide", () => flush && flush());
document.addEventListener("visibilitychange", () => { if (document.hidden && flush) flush(); });

/** Keep what is not kept yet, and leave the form. */
export function leave() {
  if (flush) flush();
  flush = null;
}

/**
 * @param {HTMLElement} place
 * @param {Omit<Desk, "changed" | "redraw">} opened
 * @param {string[]} notes what is to be said first
 */
export function edit(place, opened, notes) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let resting;
  let isDirty = false;
  const keep = () => {
    if (!isDirty) return;
    isDirty = false;
    const kept = keepDraft(desk.draft);
    for (const element of all(HTMLElement, "[data-kept]", place)) write(element, kept ? say("Kept on this device, {when}", { when: when(desk.draft.saved) }) : say("Not kept on this device"));
  };
  const follow = () => {
    const { model } = refresh(desk, place);
    clearTimeout(resting);
    resting = setTimeout(() => all(HTMLElement, "[data-guesses]", place).forEach((element) => showGuesses(model, element)), REST);
  };
  const settle = () => {
    clearTimeout(timer);
    keep();
    follow();
  };
  /** @type {Desk} */
  const desk = {
    ...opened,
    changed: () => {
      isDirty = true;
      clearTimeout(timer);
      clearTimeout(resting);
      timer = setTimeout(settle, PAUSE);
    },
    redraw: (focus) => {
      draw(desk, place, notes);
      settle();
      if (focus) reveal(focus);
    },
  };
  flush = keep;
  onOtherTab(desk.draft.key, () => tell(say("This draft is open in another tab as well. What is typed last is what stays.")));
  onProblem(() => showProblem(isDirty));
  draw(desk, place, notes);
  follow();
  showProblem(false);
}

/**
 * Bring a control into view, with the focus on it, whatever it is folded away in; its card, where it is not there.
 * @param {string} id
 */
export function reveal(id) {
  const target = document.getElementById(id) || document.getElementById(id.replace(/_[^_]*$/, ""));
  for (let details = target?.closest("details"); details; details = details.parentElement?.closest("details")) details.open = true;
  // Browsers pass over all that stands in details which have a tabindex of their own.
  if (target instanceof HTMLDetailsElement) target.querySelector("summary")?.focus();
  else target?.focus();
  target?.scrollIntoView({ block: "nearest" });
}

/** @param {string} text */
function tell(text) {
  const note = one(HTMLElement, "#form-problem");
  write(note, text);
  note.hidden = !text;
}

/** @param {boolean} isDirty */
function showProblem(isDirty) {
  const kind = problem();
  tell(kind === "full" ? say("The storage of this browser is full: the draft is not kept. Save or copy the file before you leave this page.")
    : kind === "denied" ? say("This browser keeps nothing for this site: save or copy the file before you leave this page.") : "");
  addEventListener("beforeunload", (event) => { if (problem() && isDirty) event.preventDefault(); }, { once: true });
}

/**
 * Every part anew; details that were open stay open.
 * @param {Desk} desk
 * @param {HTMLElement} place
 * @param {string[]} notes
 */
function draw(desk, place, notes) {
  /** @param {HTMLDetailsElement} details */
  const nameOf = (details) => details.id || `${details.closest("[id]")?.id} ${details.querySelector("summary")?.textContent}`;
  const before = new Map(all(HTMLDetailsElement, "details", place).map((details) => [nameOf(details), details.open]));
  const parts = /** @type {[string, string, Child[] | Child[][]][]} */ ([
    ["symptom", say("1. The symptom"), symptomPart(desk)], ["what", say("2. What may be wrong"), causesPart(desk)],
    ["steps", say("3. Steps"), stepsPart(desk)], ["endings", say("4. Endings"), endingsPart(desk)],
    ["outlook", say("5. What it comes to"), [h("div", { "data-outlook": true }), h("div", { "data-guesses": true })]], ["hand-in", say("6. Hand it in"), handingPart(desk)],
  ]);
  place.replaceChildren(
    h("p", { class: "crumbs" }, h("a", { href: "#" }, say("All drafts"))),
    h("h1", {}, desk.draft.slug ? say("Improve a playbook") : say("Write a playbook")),
    ...notes.map((note) => h("p", { class: "note" }, note)),
    h("nav", { class: "tabs", "aria-label": say("On this page") }, parts.map(([id, title]) => h("a", { href: `#part-${id}`, "data-go": `part-${id}` }, title))),
    h("div", { class: "form-bar" }, h("a", { href: "#part-outlook", "data-go": "part-outlook", "data-short": true }, "…"), h("small", { "data-kept": true }, desk.draft.saved ? say("Kept on this device, {when}", { when: when(desk.draft.saved) }) : "")),
    ...parts.map(([id, title, children]) => h("section", { "aria-labelledby": `part-${id}` }, h("h2", { id: `part-${id}`, tabindex: -1 }, title), children)),
    h("p", { class: "buttons" }, h("button", { type: "button", class: "small-button", onclick: () => discard(desk) }, say("Throw this draft away"))));
  for (const details of all(HTMLDetailsElement, "details", place)) details.open = before.get(nameOf(details)) ?? details.open;
}

/** @param {Desk} desk */
function discard({ draft }) {
  if (!confirm(say("Delete the draft “{title}”? What was typed is gone then.", { title: draft.book.title || "…" }))) return;
  flush = null;
  removeDraft(draft.key);
  location.hash = "";
}

/** @param {Desk} desk */
function symptomPart(desk) {
  const { draft } = desk, { book } = draft;
  return [
    draft.slug ? null : areaChoice(desk),
    control(desk, "Playbook", "title", book, ""),
    control(desk, "Symptom", "summary", book.symptom, "symptom"),
    control(desk, "Symptom", "conditions", book.symptom, "symptom"),
    h("details", { class: "more" }, h("summary", {}, say("More: cars, trouble codes, other words for it …")),
      control(desk, "Symptom", "codes", book.symptom, "symptom"),
      others(desk, "Playbook", /** @type {any} */ (book), "", PLAIN),
      control(desk, "Playbook", "no_hazards", /** @type {any} */ (book), "")),
  ];
}

/** @param {Desk} desk */
function areaChoice({ draft, data, changed }) {
  const id = idOf("area");
  const select = h("select", { id }, h("option", { value: "" }, say("choose …")), Object.entries(data.areas).map(([name, { title }]) => h("option", { value: name }, title)));
  select.value = draft.area;
  select.addEventListener("change", () => {
    draft.area = select.value;
    changed();
  });
  return h("p", { class: "control" }, h("label", { for: id }, say("The area that it belongs to")), select);
}

/**
 * All that follows from what was typed.
 * @param {Desk} desk
 * @param {HTMLElement} place
 */
function refresh(desk, place) {
  const outlook = outlookOf(desk);
  refreshNames(wholeBook(desk.draft.book, desk.data), place);
  refreshShares(desk, place);
  refreshChances(desk, place);
  refreshHanding(desk, outlook.findings.every(({ severe }) => !severe), place);
  refreshPanels(desk, place);
  showBeside(outlook.findings, place);
  showOutlook(outlook, one(HTMLElement, "[data-outlook]", place));
  write(one(HTMLElement, "[data-short]", place), inShort(outlook));
  return outlook;
}

/**
 * Titles and names wherever they stand.
 * @param {Book} book
 * @param {HTMLElement} place
 */
function refreshNames(book, place) {
  const names = new Map([...book.causes.map(({ id, name }) => /** @type {const} */ ([id, name])), ...[...book.steps, ...book.endings].map(({ id, title }) => /** @type {const} */ ([id, title]))]);
  for (const element of all(Element, "[data-names]", place)) {
    const name = names.get(element.getAttribute("data-names") || "");
    if (name) write(element, name);
  }
  const expects = new Map(book.steps.flatMap(({ results }) => results.map(({ id, expect }) => /** @type {const} */ ([id, expect]))));
  for (const element of all(Element, "[data-expect]", place)) {
    const expect = expects.get(element.getAttribute("data-expect") || "");
    if (expect) write(element, expect);
  }
}

/**
 * The safety banner above everything, and its panels at the steps and endings that call for them.
 * @param {Desk} desk
 * @param {HTMLElement} place
 */
function refreshPanels({ draft, data }, place) {
  const works = [...wholeBook(draft.book, data).steps, ...draft.book.endings];
  const banner = one(HTMLElement, "#form-banner");
  const severe = Object.keys(data.hazards).filter((name) => data.hazards[name].banner);
  const carried = new Map(works.map((work) => [work.id, hazardsOf(work, data).filter((name) => severe.includes(name))]));
  const whole = severe.filter((name) => [...carried.values()].some((names) => names.includes(name)));
  panels(banner, whole.map((name) => data.hazards[name].html));
  banner.hidden = !whole.length;
  for (const [id, names] of carried) {
    const card = place.querySelector(`[data-panels="${id}"]`);
    if (card) panels(card, names.map((name) => data.hazards[name].html));
  }
}

/** @param {Element} element @param {string[]} html built and escaped by the build */
function panels(element, html) {
  const text = html.join("");
  if (element.innerHTML !== text && element.getAttribute("data-shown") !== text) element.innerHTML = text;
  element.setAttribute("data-shown", text);
}

