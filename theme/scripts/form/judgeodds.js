/* Whether shares and chances are whole and add up. */

/** @import { Book, Finding, StepText } from "./shapes.js" */
import { share } from "../show/figures.js";
import { say } from "../site/words.js";
import { UNLISTED, percentOf, sharesOf } from "./modelling.js";
import { causeName, workName } from "./naming.js";
import { percent } from "./notation.js";

/** Chances of a step add up to 1 within 0.05 percentage points. */
const TOLERANCE = 0.0005 + 1e-9;
const LARGE = 0.25;

/**
 * @param {Book} book
 * @returns {Finding[]}
 */
export const oddsFindings = (book) => [...shareFindings(book), ...book.steps.flatMap((step) => chanceFindings(step, book))];

/**
 * @param {Book} book
 * @returns {Finding[]}
 */
function shareFindings(book) {
  const { causes } = book;
  if (!causes.length) return [{ at: "causes", says: say("Name what may be wrong; without causes there are no odds."), severe: false }];
  const shares = causes.map((cause) => percent(cause.share));
  const sum = shares.reduce((/** @type {number} */ whole, one) => whole + (one || 0), 0);
  /** @type {Finding[]} */
  const found = [];
  const empty = causes.filter((cause) => cause.share === undefined);
  if (sum > 1 + 1e-9) found.push({ at: "causes", says: say("The shares add up to {sum}; lower them to 100 % at most.", { sum: exactly(sum) }), severe: true });
  if (empty.length && empty.length < causes.length) {
    found.push(...empty.map(({ id }) => ({ at: `causes.${id}.share`, says: say("The cause “{name}” has no share, but others have.", { name: causeName(book, id) }), severe: true, empty: true })));
  }
  if (empty.length === causes.length) found.push({ at: "causes", says: say("Without shares there are no odds and no expected cost. A rough guess is better than none."), severe: false });
  const left = sharesOf(book)?.at(-1);
  if (left !== undefined && left > LARGE + 1e-9) {
    found.push({ at: "causes", says: say("{left} of the cases have a cause that is not named here. Name more causes, or raise their shares.", { left: share(left) }), severe: false });
  }
  return found;
}

/**
 * A share with all its digits, as far as they matter.
 * @param {number} part
 */
const exactly = (part) => `${Number((part * 100).toFixed(4))} %`;

/**
 * @param {StepText} step
 * @param {Book} book
 * @returns {Finding[]}
 */
function chanceFindings(step, book) {
  const at = `steps.${step.id}.results`, { results } = step;
  const title = workName(book, step.id);
  const said = results.filter(({ chance }) => chance !== undefined);
  if (!said.length) {
    const wanted = results.length > 1 && book.causes.some((cause) => cause.share !== undefined);
    return wanted ? [{ at, says: say("“{title}”: say how likely each result is; without chances there are no odds.", { title }), severe: false }] : [];
  }
  if (said.length < results.length) {
    return [{ at, says: say("“{title}”: a result has no chance, but others have. Let one of them be the rest.", { title }), severe: true, empty: true }];
  }
  if (results.filter(({ chance }) => chance === "rest").length > 1) return [{ at, says: say("“{title}”: only one result can be the rest.", { title }), severe: true }];
  const shares = sharesOf(book);
  /** @type {[string, string][]} */
  const causes = book.causes.map(({ id }) => [id, causeName(book, id)]);
  if (!shares || Number(shares.at(-1)) > 1e-9) causes.push([UNLISTED, say("something else")]);
  return causes.flatMap(([id, name]) => causeFindings(step, title, id, name, at));
}

/**
 * @param {StepText} step
 * @param {string} title
 * @param {string} cause
 * @param {string} name
 * @param {string} at
 * @returns {Finding[]}
 */
function causeFindings({ results }, title, cause, name, at) {
  const texts = results.map(({ chance }) => (chance === "rest" || chance === undefined ? "rest" : percentOf(chance, cause)));
  const odd = texts.find((text) => text !== undefined && text !== "rest" && percent(text) === null);
  if (odd !== undefined) return [{ at, says: say("“{title}”: {text} is no percentage; write a number such as 70.", { title, text: odd }), severe: true }];
  if (texts.includes(undefined)) return [{ at, says: say("“{title}”: say how likely each result is if it is “{name}”.", { title, name }), severe: true, empty: true }];
  const sum = texts.reduce((whole, text) => whole + (percent(text) || 0), 0);
  const wrong = sum > 1 + TOLERANCE || (sum < 1 - TOLERANCE && !texts.includes("rest"));
  return wrong ? [{ at, says: say("“{title}”: if it is “{name}”, the chances add up to {sum}, not 100 %.", { title, name, sum: exactly(sum) }), severe: true }] : [];
}
