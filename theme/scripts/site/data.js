/* The site's files of data: scripts, since pages in a folder cannot fetch. They hand over what they hold. */

/** @import { Model } from "../types.js" */
import { root } from "./site.js";

/** @type {Map<string, Promise<void>>} */
const loading = new Map();
/** @type {Map<string, unknown>} */
const taken = new Map();

droplight.take = (kind, name, value) => { taken.set(`${kind} ${name}`, value); };

/**
 * Run one of the files.
 * @param {string} file
 */
function load(file) {
  const known = loading.get(file);
  if (known) return known;
  /** @type {Promise<void>} */
  const run = new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = root + file;
    script.onload = () => resolve();
    script.onerror = () => {
      loading.delete(file);
      script.remove();
      reject(new Unloadable(file));
    };
    document.head.append(script);
  });
  loading.set(file, run);
  return run;
}

/** A file that is not there, or does not hold what it should. */
export class Unloadable extends Error {}

/**
 * What a file holds, by its kind and name.
 * @param {string} file
 * @param {string} kind
 * @param {string} [name]
 * @returns {Promise<any>}
 */
export async function held(file, kind, name = "") {
  if (!taken.has(`${kind} ${name}`)) await load(file);
  if (!taken.has(`${kind} ${name}`)) throw new Unloadable(file);
  return taken.get(`${kind} ${name}`);
}

/**
 * A playbook.
 * @param {string} slug
 * @returns {Promise<Model>}
 */
export const model = (slug) => held(`data/playbook/${slug}.js`, "playbook", slug);
