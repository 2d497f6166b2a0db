/* What the parts of a playbook are called while they may have no words yet. */

/** @import { Book, StepText } from "./shapes.js" */
import { say } from "../site/words.js";

/**
 * @param {Book} book
 * @param {string} id
 */
export function causeName({ causes }, id) {
  const k = causes.findIndex((cause) => cause.id === id);
  return k < 0 ? id : causes[k].name || say("cause {number}", { number: k + 1 });
}

/**
 * A step or an ending.
 * @param {Book} book
 * @param {string} id
 */
export function workName({ steps, endings }, id) {
  const k = steps.findIndex((step) => step.id === id), e = endings.findIndex((ending) => ending.id === id);
  if (k >= 0) return steps[k].title || say("step {number}", { number: k + 1 });
  return e < 0 ? id : endings[e].title || say("ending {number}", { number: e + 1 });
}

/**
 * @param {StepText} step as its common check completes it
 * @param {string} id
 */
export function resultName({ results }, id) {
  const k = results.findIndex((result) => result.id === id);
  return k < 0 ? id : results[k].expect || say("result {number}", { number: k + 1 });
}
