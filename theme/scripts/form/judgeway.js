/* Whether the way through a playbook is whole: every result leads on, nothing goes round, everything is reached. */

/** @import { Book, EndingText, Finding, NextText, ResultText, StepText } from "./shapes.js" */
import { say } from "../site/words.js";
import { resultName, workName } from "./naming.js";

/**
 * @param {Book} book
 * @returns {Finding[]}
 */
export function wayFindings(book) {
  const found = emptyFindings(book);
  if (book.order === "best") {
    if (book.endings.every(({ settles }) => settles && settles.length)) {
      found.push({ at: "endings", says: say("Add an ending that puts nothing right, where a professional takes over."), severe: true });
    }
    return found;
  }
  const steps = new Map(book.steps.map((step) => [step.id, step]));
  if (book.steps.length && !steps.has(book.start || "")) found.push({ at: "start", says: say("Choose the first step."), severe: true, empty: true });
  for (const step of book.steps) {
    for (const result of step.results) {
      if (!leads(result.next, book)) found.push({ at: `steps.${step.id}.results.${result.id}.next`, says: say("“{title}”: say what comes after “{expect}”.", { title: workName(book, step.id), expect: resultName(step, result.id) }), severe: true, empty: true });
    }
  }
  return [...found, ...circles(book, steps), ...unreached(book, steps), ...early(book)];
}

/** @param {Book} book @returns {Finding[]} */
function emptyFindings(book) {
  const { steps, endings } = book;
  /** @type {Finding[]} */
  const found = [];
  if (!steps.length) found.push({ at: "steps", says: say("Add a first step."), severe: true, empty: true });
  for (const { id, results } of steps) {
    if (!results.length) found.push({ at: `steps.${id}.results`, says: say("“{title}” needs at least one result.", { title: workName(book, id) }), severe: true, empty: true });
  }
  if (!endings.length) found.push({ at: "endings", says: say("Add an ending: a repair, or the hand-over to a professional."), severe: false });
  return found;
}

/** @param {NextText | undefined} next @param {Book} book */
const leads = (next, { steps, endings }) => next !== undefined && (typeof next === "object" ? Boolean(next.playbook)
  : [...steps, ...endings].some(({ id }) => id === next));

/** @param {StepText} step */
const following = ({ results }) => results.map(({ next }) => next).filter(/** @returns {next is string} */ (next) => typeof next === "string");

/**
 * @param {Book} book
 * @param {Map<string, StepText>} steps
 * @returns {Finding[]}
 */
function circles(book, steps) {
  /** @type {Map<string, "open" | "done">} */
  const state = new Map();
  /** @type {Finding[]} */
  const found = [];
  /** @param {StepText} step @param {StepText[]} trail */
  const visit = (step, trail) => {
    state.set(step.id, "open");
    for (const id of new Set(following(step))) {
      const after = steps.get(id);
      if (!after) continue;
      if (state.get(id) === "open") {
        const round = [...trail.slice(trail.indexOf(after)), step, after].filter((one, k, all) => k === 0 || one !== all[k - 1]);
        found.push({ at: `steps.${step.id}.results`, says: say("The steps go round in a circle: {way}. Let one of them lead onwards.", { way: round.map(({ id: name }) => workName(book, name)).join(" → ") }), severe: true });
      } else if (!state.has(id)) visit(after, [...trail, step]);
    }
    state.set(step.id, "done");
  };
  for (const step of book.steps) if (!state.has(step.id)) visit(step, []);
  return found;
}

/**
 * @param {Book} book
 * @param {Map<string, StepText>} steps
 * @returns {Finding[]}
 */
function unreached(book, steps) {
  if (!book.start || !steps.has(book.start)) return [];
  const reached = new Set([book.start]);
  for (const id of reached) {
    const step = steps.get(id);
    if (step) following(step).forEach((next) => reached.add(next));
  }
  /** @type {(work: StepText | EndingText, kind: string) => Finding[]} */
  const lost = ({ id }, kind) => (reached.has(id) ? [] : [{ at: `${kind}.${id}`, says: say("No way leads to “{title}”. Let a result lead to it, or delete it.", { title: workName(book, id) }), severe: true }]);
  return [...book.steps.flatMap((step) => lost(step, "steps")), ...book.endings.flatMap((ending) => lost(ending, "endings"))];
}

/**
 * What is reached on a way on which something was not done that must be done before.
 * @param {Book} book
 * @returns {Finding[]}
 */
function early(book) {
  return [...book.steps, ...book.endings].flatMap((work) => (work.after || []).flatMap((one) => {
    const [needed, names] = typeof one === "string" ? [one, []] : one;
    const before = book.steps.find(({ id }) => id === needed);
    if (!before || needed === work.id || !isReachedWithout(book, work.id, needed, names)) return [];
    return [{ at: `${work.results ? "steps" : "endings"}.${work.id}.after`, says: say("“{title}” must come after “{before}”, but a way leads to it without.", { title: workName(book, work.id), before: workName(book, needed) }), severe: true }];
  }));
}

/**
 * @param {Book} book
 * @param {string} goal
 * @param {string} needed
 * @param {string[]} names
 */
function isReachedWithout(book, goal, needed, names) {
  const seen = new Set([book.start]);
  /** @param {string} id @param {ResultText} result */
  const allows = (id, result) => id === needed && (!names.length || names.includes(result.id));
  for (const id of seen) {
    const step = book.steps.find((one) => one.id === id);
    if (id === goal) return true;
    for (const result of step ? step.results : []) {
      if (typeof result.next === "string" && !allows(String(id), result)) seen.add(result.next);
    }
  }
  return false;
}
