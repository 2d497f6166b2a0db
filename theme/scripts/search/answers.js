/* Answers: what was found, as pieces of a page: playbooks first, then whatever else has a page of its own. */

/** @import { Answer, CodeFound, Found, Named } from "./shapes.js" */
import { h } from "../show/dom.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";

const MOST_PLAYBOOKS = 6;
const LEAST_PLAYBOOKS = 3;
const MOST = 4;

/**
 * All that answers a query, or what is near where nothing does.
 * @param {Answer} answer
 * @param {(query: string) => void} ask looks for something else
 * @param {readonly Named[]} areas by name, with their titles
 */
export function shown(answer, ask, areas) {
  const groups = /** @type {[string, Found[]][]} */ ([
    [say("Causes"), answer.causes], [say("Parts"), answer.parts], [say("Tools"), answer.tools], [say("Steps"), answer.steps],
  ]);
  return [
    ...answer.asked.filter(({ isKnown }) => !isKnown).map((code) => strange(code)),
    answer.unknown.length && answer.playbooks.length ? h("p", { class: "small" }, say("Nothing here says: {words}.", { words: answer.unknown.join(", ") })) : null,
    playbooks(answer),
    group(say("Trouble codes"), [...answer.asked.filter(({ isKnown }) => isKnown), ...answer.codes]),
    ...groups.map(([title, found]) => group(title, found)),
    ...(count(answer) ? [] : nothing(answer.near, ask, areas)),
  ].filter((piece) => piece !== null);
}

/**
 * How many pages an answer names.
 * @param {Answer} answer
 */
export function count({ playbooks, asked, codes, causes, parts, tools, steps }) {
  return [playbooks, asked.filter(({ isKnown }) => isKnown), codes, causes, parts, tools, steps].reduce((sum, found) => sum + found.length, 0);
}

/** @param {Answer} answer */
function playbooks({ playbooks, good, asked }) {
  if (!playbooks.length) return null;
  const first = Math.max(LEAST_PLAYBOOKS, Math.min(good, MOST_PLAYBOOKS));
  const title = asked.length && !asked.some(({ isKnown }) => isKnown) ? say("Playbooks that come near") : say("Playbooks");
  return h("section", { class: "first" }, h("h2", {}, title), ...list(playbooks, first));
}

/**
 * @param {string} title
 * @param {readonly Found[]} found
 */
function group(title, found) {
  return found.length ? h("section", {}, h("h2", {}, title), ...list(found, MOST)) : null;
}

/**
 * A list, the tail of which is shown on request.
 * @param {readonly Found[]} found
 * @param {number} most how many are shown at once
 */
function list(found, most) {
  const items = found.map((one, k) => h("li", { hidden: k >= most }, h("a", { href: root + one.page }, one.title), one.note ? h("small", {}, one.note) : null));
  if (items.length <= most) return [h("ul", {}, items)];
  const more = h("button", {
    type: "button",
    class: "small-button",
    onclick: () => {
      for (const item of items) item.hidden = false;
      more.remove();
      items[most].querySelector("a")?.focus();
    },
  }, say("Show {count} more", { count: items.length - most }));
  return [h("ul", {}, items), more];
}

/**
 * A trouble code that no playbook starts from: what its structure says, and the nearest ones.
 * @param {CodeFound} code
 */
export function strange({ title, note, system, control, subsystem, near }) {
  return h("section", { class: "note" },
    h("p", {}, h("b", {}, title), " ", note, note ? h("br") : null, say("No playbook here starts from this code.")),
    h("p", { class: "small" }, [system, subsystem, control].filter(Boolean).join(" · ")),
    near.length ? h("p", {}, say("Nearest here:"), ...near.flatMap((one) => [" ", codeLink(one)])) : null);
}

/** @param {Found} code */
export const codeLink = ({ page, title, note }) => h("a", { class: "stamp", href: root + page, title: note || false }, title);

/**
 * @param {readonly string[]} near
 * @param {(query: string) => void} ask
 * @param {readonly Named[]} areas
 */
function nothing(near, ask, areas) {
  const button = (/** @type {string} */ word) => h("button", { type: "button", class: "small-button", onclick: () => ask(word) }, word);
  return [
    h("p", {}, say("Nothing found. Try another word for what you notice, or pick an area below.")),
    near.length ? h("p", { class: "buttons" }, say("Near:"), ...near.map(button)) : null,
    h("p", { class: "tabs" }, ...areas.map(([name, title]) => h("a", { href: `${root}area/${name}.html` }, title)),
      h("a", { href: `${root}codes.html` }, say("Trouble codes"))),
  ].filter((piece) => piece !== null);
}
