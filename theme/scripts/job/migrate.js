/* Jobs of version 1, where a job was a place in a drawing, as bodies of evidence. Nothing that was seen is dropped. */

/** @import { Job } from "../made/jobschema.js" */
import { isJob } from "./shape.js";

/** @typedef {Record<string, any>} Old */

/** @param {unknown} value @returns {Old[]} */
const list = (value) => (Array.isArray(value) ? value.filter((one) => typeof one === "object" && one !== null) : []);

/** Only what is there. @param {Old} fields */
const some = (fields) => Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));

/** @param {Old} entry */
const notesOf = ({ note, spent, took }) => some({ note, spent, took });

/** @param {Old} entry */
const doneOf = ({ title, at, counted }) => some({ title, at, counted });

/** @param {Old} entry an answer, or a step that was done and left again */
const seenOf = ({ step, result, expect = "", hash = "", ...entry }) => ({ ...doneOf(entry), step, result, expect, hash });

/** @param {Old} entry an ending that was done, or a repair that did not hold */
function triedOf({ name, step, hash = "", failed, held, trials, ...entry }) {
  const outcome = failed ? "still" : held ? "gone" : "open";
  return { ...doneOf(entry), ending: name || step, hash, outcome, trials: list(trials) };
}

/**
 * Entries by their names; the last one with a name counts.
 * @param {Old[]} entries
 * @param {string} name
 */
const last = (entries, name) => [...new Map(entries.map((entry) => [entry[name], entry])).values()];

/** @param {Old[]} legs of one playbook; what lies on the way is newer than what was left */
function legOf(legs) {
  const [{ slug, title, hash, changed }] = legs;
  const extra = legs.flatMap((leg) => list(leg.extra));
  const ways = legs.flatMap((leg) => list(leg.way));
  const endings = legs.flatMap(({ ending }) => list([ending]));
  const drafts = legs.flatMap(({ draft }) => list([draft]));
  const all = [...extra, ...ways, ...endings, ...drafts];
  const noted = all.map((one) => [one.step || one.name, notesOf(one)]).filter(([, notes]) => Object.keys(notes).length);
  const done = endings.filter((one) => one.done);
  return some({
    slug, title, hash, changed,
    seen: last([...extra.filter(({ result }) => result), ...ways].map(seenOf), "step"),
    tried: last([...extra.filter(({ result }) => !result), ...done].map(triedOf), "ending"),
    aside: [], notes: Object.fromEntries(noted),
  });
}

/**
 * A job of version 1 in the shape of today; null where it is none.
 * @param {Old} old
 */
function upgraded(old) {
  const { droplight, id, name, created, updated, state, expected } = old;
  /** @type {Map<string, Old[]>} */
  const bySlug = new Map();
  // Legs on the way come first; within a playbook the newer one counts.
  for (const leg of list(old.legs)) bySlug.set(leg.slug, [leg]);
  for (const leg of list(old.elsewhere)) bySlug.set(leg.slug, [leg, ...(bySlug.get(leg.slug) || [])]);
  const legs = [...bySlug.values()].map(legOf);
  const closed = state === "done";
  for (const leg of legs) for (const tried of leg.tried) if (closed && tried.outcome === "open") tried.outcome = "gone";
  return { droplight, version: 2, revision: 0, id, name, created, updated, state, expected, car: null, legs, read: [], waits: [] };
}

/**
 * Something that was kept or imported as a job of today; null where it is no job.
 * @param {any} value
 * @returns {Job | null}
 */
export function asJob(value) {
  if (isJob(value)) return value;
  if (typeof value !== "object" || value === null || value.droplight !== "job" || value.version !== 1) return null;
  const job = upgraded(value);
  return isJob(job) ? job : null;
}
