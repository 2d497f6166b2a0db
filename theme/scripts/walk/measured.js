/* A step that measures: the figure is typed in either system of units, and the result follows from it. */

/** @import { Reading as Figure } from "../made/jobschema.js" */
/** @import { Reading, Result, StepView } from "../types.js" */
import { notesOf } from "../job/job.js";
import { h } from "../show/dom.js";
import { readMeasured } from "../show/typed.js";
import { first } from "../show/units.js";
import { say } from "../site/words.js";
import { figureField } from "./fields.js";
import { button } from "./pieces.js";
import { writeDown } from "./stage.js";

/**
 * The result in whose range a figure lies: an end belongs to the range that has both of them, not to "below" or "above".
 * @param {Result[]} results
 * @param {number} value
 */
export function resultOf(results, value) {
  /** @param {(low: number, high: number, isOpen: boolean) => boolean} holds */
  const found = (holds) => results.find(({ range }) => range
    && holds(range[0] ?? -Infinity, range[1] ?? Infinity, range[0] === null || range[1] === null));
  return found((low, high, isOpen) => (isOpen ? low < value && value < high : low <= value && value <= high))
    || found((low, high) => low <= value && value <= high) || null;
}

/**
 * The unit that the owner likes, and how a figure in it is told in the unit of the step.
 * @param {Reading} reading
 */
function unitOf({ unit, other }) {
  if (!other || other.system !== first()) return { unit, toOwn: (/** @type {number} */ typed) => typed };
  return { unit: other.unit, toOwn: (/** @type {number} */ typed) => (typed - other.offset) / other.factor };
}

/** A figure without the dust of its arithmetic. @param {number} value */
const clean = (value) => Number(value.toPrecision(12));

/**
 * @param {StepView} view
 * @param {(result: Result, reading: Figure) => void} give
 */
export function measured(view, give) {
  const { node, leg } = view;
  const { reading } = node;
  if (!reading) return null;
  const { unit, toOwn } = unitOf(reading);
  const place = h("div", { class: "measured-result" });
  /** @param {number | null} typed */
  const offer = (typed) => {
    const value = typed === null ? null : clean(toOwn(typed));
    const result = value === null ? null : resultOf(node.results, value);
    place.replaceChildren();
    if (value === null || !result) return;
    place.append(button(say("{figure}: {result}", { figure: `${typed} ${unit}`, result: result.expect }), () => give(result, { value, unit: reading.unit })));
  };
  const typed = (leg.notes[node.name] || {}).typed || {};
  const field = figureField({
    id: "reading", label: `${reading.of} (${unit})`, value: typed.reading || "", read: (text) => readMeasured(text, unit),
    keep: (value, text) => {
      offer(value);
      writeDown(view, (job) => {
        const here = job.legs.find(({ slug }) => slug === leg.slug);
        if (!here) return;
        const notes = notesOf(here, node.name);
        const { reading: _, ...others } = notes.typed || {};
        notes.typed = text.trim() ? { ...others, reading: text } : others;
      });
    },
  });
  const known = typed.reading ? readMeasured(typed.reading, unit) : null;
  offer(known && "value" in known ? known.value : null);
  return h("div", { class: "measured" }, field, place);
}
