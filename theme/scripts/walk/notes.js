/* Notes and real figures of one step or ending; they belong to it whether it is done or not. */

/** @import { Job, Notes } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { notesOf } from "../job/job.js";
import { done } from "../job/tally.js";
import { h } from "../show/dom.js";
import { minutes, money } from "../show/figures.js";
import { readMinutes, readMoney } from "../show/typed.js";
import { currency } from "../site/site.js";
import { say } from "../site/words.js";
import { figureField } from "./fields.js";
import { fitMeter, meter } from "./meter.js";
import { writeDown } from "./stage.js";
import { sums } from "./sums.js";

/**
 * Figures follow what was noted.
 * @param {View} view
 */
function refresh(view) {
  view.done = done(view.job, view.models);
  for (const [id, make] of /** @type {const} */ ([["meter", meter], ["sums", sums]])) {
    const shown = document.getElementById(id);
    if (shown) shown.replaceWith(make(view));
  }
  fitMeter();
}

/**
 * The notes of a step in a job; the job may have been read anew.
 * @param {Job} job
 * @param {View} view
 */
function notesIn(job, { leg, node }) {
  const here = job.legs.find(({ slug }) => slug === leg.slug);
  return here ? notesOf(here, node.name) : {};
}

/**
 * Keep a note; words that another window wrote meanwhile stay before it.
 * @param {View} view
 * @param {HTMLTextAreaElement} area
 * @param {string} last what was in the notes when this window last looked
 */
function keepNote(view, area, last) {
  writeDown(view, (job) => {
    const notes = notesIn(job, view);
    const there = notes.note || "";
    if (there !== last && there !== area.value && !area.value.startsWith(there)) area.value = `${there}\n${area.value}`;
    notes.note = area.value.slice(0, 5000);
  });
  return area.value;
}

/** @param {View} view */
export function notes(view) {
  const entry = Object.hasOwn(view.leg.notes, view.node.name) ? view.leg.notes[view.node.name] : {};
  const typed = entry.typed || {};
  let last = entry.note || "";
  /** @param {Event} event */
  const write = ({ target }) => { if (target instanceof HTMLTextAreaElement) last = keepNote(view, target, last); };
  /** @type {(name: "spent" | "took", value: number | null, text: string) => void} */
  const keepFigure = (name, value, text) => {
    writeDown(view, (job) => {
      const notes = notesIn(job, view);
      const { [name]: _, ...others } = notes.typed || {};
      notes.typed = value === null && text.trim() ? { ...others, [name]: text } : others;
      if (value === null) delete notes[name];
      else notes[name] = value;
    });
    refresh(view);
  };
  /** @type {(name: "spent" | "took") => string} */
  const shown = (name) => String(typed[name] ?? entry[name] ?? "");
  return h("details", { class: "notes-of", open: hasNotes(entry) }, h("summary", {}, say("Notes, and what it really cost")),
    h("p", {}, h("label", { for: "note" }, say("Notes")), h("textarea", { id: "note", rows: "3", maxlength: "5000", oninput: write }, entry.note || "")),
    figureField({ id: "spent", label: say("Really spent ({currency})", { currency }), value: shown("spent"), read: readMoney, echo: money, keep: (value, text) => keepFigure("spent", value, text) }),
    figureField({ id: "took", label: say("Really took (minutes, or 1h30)"), value: shown("took"), read: readMinutes, echo: minutes, keep: (value, text) => keepFigure("took", value, text) }));
}

/** @param {Notes} entry */
const hasNotes = ({ note, spent, took, typed = {} }) => Boolean(note || spent !== undefined || took !== undefined || typed.spent || typed.took);
