/* Where the form begins: a new playbook, one that is there, or a draft that waits on the device. */

/** @import { Draft, FormData } from "./shapes.js" */
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { drafts, removeDraft } from "./drafts.js";

/** The address of a playbook in the form. @param {string} slug */
export const improving = (slug) => `#improve=${slug}`;
/** The address of a draft. @param {Draft} draft */
const going = (draft) => (draft.slug ? improving(draft.slug) : `#draft=${draft.key}`);

/**
 * @param {FormData} data
 * @param {() => void} redraw
 * @returns {HTMLElement[]}
 */
export function startScreen(data, redraw) {
  const kept = drafts();
  const select = h("select", { id: "which" }, h("option", { value: "" }, say("choose …")), Object.entries(data.areas).map(([area, { title }]) => {
    const books = Object.entries(data.playbooks).filter(([, book]) => book.area === area);
    return books.length ? h("optgroup", { label: title }, books.map(([slug, book]) => h("option", { value: slug }, book.title))) : h("optgroup", { label: title });
  }));
  select.addEventListener("change", () => { if (select.value) location.hash = improving(select.value); });
  return [
    h("h1", {}, say("Write a playbook")),
    h("p", { class: "lead" }, say("Fill in what you know: the symptom, what may be behind it, what to look at, and what to do. The file for the library is written for you.")),
    h("p", {}, h("a", { class: "button", href: "#new" }, say("Begin a new playbook"))),
    ...(kept.length ? [h("h2", {}, say("Drafts on this device")), h("ul", { class: "rows" }, kept.map((one) => draftRow(one, redraw)))] : []),
    h("h2", {}, say("Improve a playbook")),
    h("p", {}, h("label", { for: "which" }, say("Which one?")), " ", select),
  ];
}

/**
 * @param {Draft} draft
 * @param {() => void} redraw
 */
function draftRow(draft, redraw) {
  const title = draft.book.title || say("Without a title yet");
  const remove = () => {
    if (!confirm(say("Delete the draft “{title}”? What was typed is gone then.", { title }))) return;
    removeDraft(draft.key);
    redraw();
  };
  return h("li", { class: "row" }, h("a", { class: "row-title", href: going(draft) }, title), h("p", { class: "row-figures" },
    h("small", {}, when(draft.saved)), h("button", { type: "button", class: "small-button", onclick: remove, "aria-label": say("Delete the draft “{title}”", { title }) }, say("Delete"))));
}

/**
 * A moment as people read it.
 * @param {string} saved
 */
export function when(saved) {
  const day = new Date(saved);
  return Number.isNaN(day.getTime()) ? "–" : new Intl.DateTimeFormat(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" }).format(day);
}
