/* Notes and real figures of one step or ending. */

/** @import { Draft, Ending } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { h } from "../show/dom.js";
import { currency } from "../site/site.js";
import { say } from "../site/words.js";
import { fitMeter, meter } from "./meter.js";
import { keep } from "./stage.js";
import { sums } from "./sums.js";

/**
 * Figures follow what was noted.
 * @param {View} view
 */
function refresh(view) {
  for (const [id, make] of /** @type {const} */ ([["meter", meter], ["sums", sums]])) {
    const shown = document.getElementById(id);
    if (shown) shown.replaceWith(make(view));
  }
  fitMeter();
}

/**
 * @param {View} view
 * @param {Draft | Ending} entry
 */
export function notes(view, entry) {
  const save = () => keep(view.job);
  /** @param {Event} event */
  const write = ({ target }) => {
    if (!(target instanceof HTMLTextAreaElement)) return;
    entry.note = target.value;
    save();
  };
  /** @type {(name: "spent" | "took", label: string) => HTMLElement} */
  const number = (name, label) => h("p", {}, h("label", { for: name }, label), " ",
    h("input", { id: name, type: "text", maxlength: "12", inputmode: "decimal", value: entry[name] ?? "", onchange: ({ target }) => {
      // A comma or a point, as the owner writes it.
      const typed = target.value.trim().replace(",", ".");
      if (/^\d+(\.\d+)?$/.test(typed)) entry[name] = Number(typed);
      else delete entry[name];
      target.value = entry[name] ?? "";
      save();
      refresh(view);
    } }));
  return h("details", { class: "notes-of", open: Boolean(entry.note || entry.spent !== undefined || entry.took !== undefined) }, h("summary", {}, say("Notes, and what it really cost")),
    h("p", {}, h("label", { for: "note" }, say("Notes")), h("textarea", { id: "note", rows: "3", maxlength: "5000", oninput: write }, entry.note || "")),
    number("spent", say("Really spent ({currency})", { currency })),
    number("took", say("Really took (minutes)")));
}
