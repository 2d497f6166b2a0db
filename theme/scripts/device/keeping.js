/* What the page asks of the service worker: to keep the site or parts of it, and how large they are. */

import { root } from "../site/site.js";
import { scope, worker } from "./worker.js";

/** @typedef {{kind: "state", wanted: string[] | null, whole: boolean}} Kept what is kept: `*`, areas, or slugs */
/** @typedef {{kind: "progress", done: number, all: number}} Progress */
/** @typedef {{kind: "failed", why: string}} Failed */

/**
 * Hear what the worker says of what it keeps.
 * @param {(said: Kept | Progress | Failed) => void} hear
 */
export function listen(hear) {
  if (worker) worker.addEventListener("message", ({ data }) => hear(data));
}

/** @param {object} message */
async function tell(message) {
  if (!worker) return;
  const { active } = await worker.ready;
  if (active) active.postMessage(message);
}

/**
 * Keep parts of the site; the worker says how it goes.
 * @param {string[]} wants
 */
export async function keep(wants) {
  if (!worker) return;
  await worker.register(`${root}sw.js`, { scope });
  await tell({ kind: "keep", wants });
  if (navigator.storage && navigator.storage.persist) await navigator.storage.persist();
}

/** Remove all of it from the device; jobs and settings stay. */
export const forget = () => tell({ kind: "forget" });

/** Says how many bytes a part of the site has, with what every part needs. */
export async function sizes() {
  const answer = await fetch(`${root}offline.json`, { cache: "no-cache" });
  /** @type {{files: [string, number, string][], sets: Record<string, number[]>, areas: Record<string, string[]>}} */
  const { files, sets, areas } = await answer.json();
  const some = new Set(Object.values(sets).flat());
  /** @param {string} part */
  return (part) => {
    const slugs = part.startsWith("area/") ? areas[part.slice(5)] || [] : [part];
    const needed = new Set(slugs.flatMap((slug) => sets[slug] || []));
    return files.reduce((sum, [, size], number) => (part === "*" || needed.has(number) || !some.has(number) ? sum + size : sum), 0);
  };
}
