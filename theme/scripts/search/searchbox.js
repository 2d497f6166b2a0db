/* The search box. What was asked stands in the address, so that the way back from a playbook leads to the answer again. */

import { all, h, one, put } from "../show/dom.js";
import { say } from "../site/words.js";
import { count, shown } from "./answers.js";
import { finder } from "./listed.js";

const ASKED = "#search=";
const SHORTEST = 2;

/**
 * Make a form search.
 * @param {HTMLFormElement} form
 */
export function searchBox(form) {
  const input = one(HTMLInputElement, "input", form);
  const place = one(HTMLElement, ".search-results", form);
  const said = one(HTMLElement, "[role='status']", form);

  const ask = (/** @type {string} */ query) => {
    input.value = query;
    input.focus();
    show();
  };
  const show = async () => {
    const isAsked = input.value.trim().length >= SHORTEST;
    remember(input.value.trim());
    // Whatever else the page offers makes room for the answer.
    form.parentElement?.toggleAttribute("data-asked", isAsked);
    if (!isAsked) {
      place.replaceChildren();
      put(said, "");
      return;
    }
    try {
      const found = await finder();
      const query = input.value;
      const answer = found.find(query, !query.endsWith(" "));
      place.replaceChildren(...shown(answer, ask, found.areas()));
      const others = count(answer) - answer.playbooks.length;
      put(said, count(answer) ? say("Playbooks: {playbooks}. Other pages: {others}.", { playbooks: answer.playbooks.length, others }) : say("Nothing found"));
    } catch {
      place.replaceChildren(h("p", {}, say("The search cannot be loaded.")));
    }
  };

  input.addEventListener("focus", () => { finder().catch(() => {}); }, { once: true });
  input.addEventListener("input", show);
  form.addEventListener("keydown", (event) => step(event, input, place));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    place.querySelector("a")?.click();
  });
  if (location.hash.startsWith(ASKED)) {
    input.value = decodeURIComponent(location.hash.slice(ASKED.length));
    show();
  }
}

/** @param {string} query */
function remember(query) {
  const { pathname, search } = location;
  history.replaceState(history.state, "", query ? ASKED + encodeURIComponent(query) : pathname + search);
}

/**
 * Arrows lead from the box to what was found and through it, Escape leads back.
 * @param {KeyboardEvent} event
 * @param {HTMLInputElement} input
 * @param {HTMLElement} place
 */
function step(event, input, place) {
  const stops = [input, ...all(HTMLElement, "li:not([hidden]) a, button", place)];
  const here = stops.findIndex((stop) => stop === document.activeElement);
  const to = { ArrowDown: here + 1, ArrowUp: here - 1, Escape: 0 }[event.key];
  if (here < 0 || to === undefined || !stops[to] || (here === 0 && event.key === "Escape")) return;
  event.preventDefault();
  stops[to].focus();
}
