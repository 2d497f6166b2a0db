/* What is kept on the device, as texts by name. Nothing leaves it by itself. Storage that is full or denied is told
   once; what it does not take is kept in memory. */

import { site } from "../site/site.js";

/** @typedef {"full" | "denied" | null} Problem */

const prefix = `droplight:${site}:`;
/** @type {Map<string, string>} */
const unsaved = new Map();
/** @type {Set<(problem: Problem) => void>} */
const listeners = new Set();
/** @type {Problem} */
let now = null;

function disk() {
  try {
    return globalThis.localStorage || null;
  } catch {
    return null;
  }
}

/** @param {Problem} kind */
function report(kind) {
  now = kind;
  listeners.forEach((listener) => listener(kind));
}

export const problem = () => now;
/** @param {(problem: Problem) => void} listener */
export const onProblem = (listener) => listeners.add(listener);

/**
 * Keep a value; whether the disk has taken it.
 * @param {string} name
 * @param {unknown} value
 */
export function write(name, value) {
  const text = JSON.stringify(value);
  try {
    const place = disk();
    if (!place) throw new Error("denied");
    place.setItem(prefix + name, text);
    unsaved.delete(name);
    report(null);
    return true;
  } catch (error) {
    unsaved.set(name, text);
    report(error instanceof Error && /quota/i.test(error.name + error.message) ? "full" : "denied");
    return false;
  }
}

/**
 * What was kept by a name; what could not be kept is newer than what is on the disk.
 * @param {string} name
 * @returns {string | null}
 */
export function read(name) {
  const newer = unsaved.get(name);
  if (newer !== undefined) return newer;
  try {
    const place = disk();
    return place ? place.getItem(prefix + name) : null;
  } catch {
    return null;
  }
}

/**
 * The value that was kept by a name; null where it is damaged.
 * @param {string} name
 * @returns {unknown}
 */
export function readValue(name) {
  try {
    return JSON.parse(read(name) || "null");
  } catch {
    return null;
  }
}

/** @param {string} name */
export function remove(name) {
  unsaved.delete(name);
  try {
    const place = disk();
    if (place) place.removeItem(prefix + name);
  } catch {
    report("denied");
  }
}

/** Whether there is anything that would be lost with this page. */
export const isUnsaved = () => unsaved.size > 0;

/**
 * What another window has changed: a name, "" for everything; null where it is none of ours.
 * @param {StorageEvent} event
 */
export function changedName({ key }) {
  if (key === null) return "";
  return key.startsWith(prefix) ? key.slice(prefix.length) : null;
}

/** Names of all that is kept. */
export function names() {
  const found = new Set(unsaved.keys());
  try {
    const place = disk();
    for (let i = 0; place && i < place.length; i++) {
      const key = place.key(i);
      if (key && key.startsWith(prefix)) found.add(key.slice(prefix.length));
    }
  } catch { /* denied */ }
  return [...found].sort();
}
