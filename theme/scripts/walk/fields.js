/* Fields for figures: what is typed stays, and what cannot be read is answered. */

/** @import { Read } from "../show/typed.js" */
import { h, put } from "../show/dom.js";
import { say } from "../site/words.js";

/**
 * @typedef {object} Field
 * @property {string} id
 * @property {string} label
 * @property {string} value as it was typed
 * @property {(text: string) => Read} read
 * @property {(value: number | null, typed: string) => void} keep null where the field is empty, or cannot be read
 * @property {(value: number) => string} [echo] how the figure was understood
 */

/**
 * @param {Field} field
 */
export function figureField({ id, label, value, read, keep, echo }) {
  const said = h("small", { id: `${id}-said`, class: "field-said", role: "status" });
  /** @param {string} text */
  const answer = (text) => {
    const typed = text.trim();
    const found = typed ? read(typed) : null;
    put(said, !found ? "" : "why" in found ? found.why : echo ? say("taken as {figure}", { figure: echo(found.value) }) : "");
    input.setAttribute("aria-invalid", String(Boolean(found && "why" in found)));
    return found && "value" in found ? found.value : null;
  };
  const input = h("input", { id, type: "text", maxlength: "40", inputmode: "decimal", autocomplete: "off", value, "aria-describedby": said.id,
    onchange: () => keep(answer(input.value), input.value) });
  if (value) answer(value);
  return h("p", { class: "figure-field" }, h("label", { for: id }, label), " ", input, " ", said);
}
