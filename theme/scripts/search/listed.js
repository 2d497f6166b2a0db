/* What the build listed, made ready when it is first asked for. */

import { held } from "../site/data.js";
import { Finder } from "./finder.js";

/** @type {Promise<Finder> | null} */
let listed = null;

/**
 * The finder of this site; what could not be loaded is tried anew.
 * @returns {Promise<Finder>}
 */
export function finder() {
  listed ??= held("data/search.js", "search").then(made);
  listed.catch(() => { listed = null; });
  return listed;
}

/** @param {import("./shapes.js").SearchData} data */
function made(data) {
  const found = new Finder(data);
  // Browsers compile what has run, so the first query would be the slowest.
  if (data.books.length) found.find(found.playbook(0).title);
  return found;
}
