/* What is to be mended in steps and endings by themselves: readings, times, texts. */

/** @import { Book, EndingText, Finding, FormData, StepText } from "./shapes.js" */
import { say } from "../site/words.js";
import { causeName, workName } from "./naming.js";
import { percent, range } from "./notation.js";

/**
 * @param {Book} book its steps completed by their common checks
 * @param {FormData} data
 * @returns {Finding[]}
 */
export function workFindings(book, data) {
  const works = [...book.steps, ...book.endings];
  return [
    ...book.steps.flatMap((step) => stepFindings(step, workName(book, step.id), data)),
    ...book.endings.flatMap((ending) => endingFindings(ending, workName(book, ending.id))),
    ...works.flatMap((work) => textFindings(work, workName(book, work.id))),
    ...unsettled(book),
  ];
}

/** @param {StepText | EndingText} work */
const placeOf = (work) => `${work.results ? "steps" : "endings"}.${work.id}`;

/**
 * @param {StepText} step
 * @param {string} title
 * @param {FormData} data
 * @returns {Finding[]}
 */
function stepFindings(step, title, data) {
  const at = placeOf(step);
  /** @type {Finding[]} */
  const found = [];
  if (step.time === undefined && step.check === undefined) found.push({ at: `${at}.time`, says: say("“{title}” has no time and counts as 0 min.", { title }), severe: false });
  const check = step.check !== undefined && Object.hasOwn(data.checks, step.check) ? data.checks[step.check] : null;
  const wanted = check ? Object.keys(check.results || {}) : [];
  if (check && [...wanted].sort().join() !== step.results.map(({ id }) => id).sort().join()) {
    found.push({ at: `${at}.results`, says: say("“{title}” must have exactly the results of its common check.", { title }), severe: true });
  }
  return [...found, ...rangeFindings(step, `${at}.results`, title)];
}

/**
 * @param {StepText} step
 * @param {string} at
 * @param {string} title
 * @returns {Finding[]}
 */
function rangeFindings({ reading, results }, at, title) {
  const ranges = results.map((result) => range(result.range));
  /** @param {string} says */
  const wrong = (says) => [{ at, says, severe: true }];
  if (!reading) return results.some((result) => result.range !== undefined) ? wrong(say("“{title}”: a result has a range, but it is not said what is measured.", { title })) : [];
  if (results.some((result) => result.range === undefined)) return wrong(say("“{title}” measures; give each of its results a range.", { title }));
  const sorted = ranges.filter(/** @returns {one is [number | null, number | null]} */ (one) => one !== null).sort((a, b) => (a[0] ?? -Infinity) - (b[0] ?? -Infinity));
  if (sorted.length < results.length || !sorted.length) return [];
  const [lowest, highest] = [sorted[0][0], sorted[sorted.length - 1][1]];
  if ((lowest !== null && lowest > 0) || highest !== null) return wrong(say("“{title}”: let the ranges begin with “below …” and end with “above …”.", { title }));
  const gap = sorted.slice(1).some(([low], k) => low !== sorted[k][1]);
  return gap ? wrong(say("“{title}”: let each range begin where the one before it ends.", { title })) : [];
}

/** @param {EndingText} ending @param {string} title @returns {Finding[]} */
const endingFindings = (ending, title) => (ending.prove && percent(ending.prove.shows) === 0
  ? [{ at: `${placeOf(ending)}.prove`, says: say("“{title}”: a fault that never shows in a trial can never be proven gone.", { title }), severe: true }] : []);

/**
 * @param {StepText | EndingText} work
 * @param {string} title
 * @returns {Finding[]}
 */
function textFindings(work, title) {
  const at = `${placeOf(work)}.do`, text = (work.do || "").replace(/`[^`]*`/g, "");
  /** @type {Finding[]} */
  const found = [];
  if (/<[a-z!?/]/i.test(text)) found.push({ at, says: say("“{title}”: HTML is shown as plain text; leave a blank after “<”.", { title }), severe: true });
  const odd = [...text.matchAll(/\]\(\s*<?([^)\s>]*)/g)].map(([, link]) => link).filter((link) => !/^(?:https?:\/\/|mailto:|#)/i.test(link));
  if (odd.length) found.push({ at, says: say("“{title}”: the link {link} must begin with https:// or lead to a file of the library.", { title, link: odd[0] }), severe: false });
  return found;
}

/**
 * Causes that no ending puts right.
 * @param {Book} book
 * @returns {Finding[]}
 */
function unsettled(book) {
  const { causes, endings } = book;
  /** @param {string} id */
  const isSettled = (id) => endings.some(({ settles = [] }) => settles === "all" || settles.includes("all") || settles.includes(id));
  return causes.filter(({ id }) => endings.length && !isSettled(id))
    .map(({ id }) => ({ at: `causes.${id}`, says: say("No ending puts “{name}” right.", { name: causeName(book, id) }), severe: false }));
}
