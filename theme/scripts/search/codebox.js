/* The box on the page of trouble codes: what a typed code says, whether or not a playbook starts from it. */

import { h, one } from "../show/dom.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { codeLink, strange } from "./answers.js";
import { finder } from "./listed.js";
import { codesIn } from "./trouble.js";

/**
 * Make a form explain trouble codes.
 * @param {HTMLFormElement} form
 */
export function codeBox(form) {
  const input = one(HTMLInputElement, "input", form);
  const place = one(HTMLElement, "[role='status']", form);
  const show = async () => {
    const { codes } = codesIn(input.value);
    try {
      const found = await finder();
      if (codes.join() !== codesIn(input.value).codes.join()) return;
      place.replaceChildren(...codes.map((code) => (found.code(code).isKnown ? known(found, code) : strange(found.code(code)))));
    } catch {
      place.replaceChildren(h("p", {}, say("The search cannot be loaded.")));
    }
  };
  input.addEventListener("focus", () => { finder().catch(() => {}); }, { once: true });
  input.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
}

/**
 * A code that playbooks start from, with them.
 * @param {import("./finder.js").Finder} found
 * @param {string} code
 */
function known(found, code) {
  const { playbooks } = found.find(code);
  return h("section", { class: "note" },
    h("p", {}, codeLink(found.code(code)), " ", found.code(code).note),
    h("ul", { class: "rows" }, playbooks.map(({ page, title }) => h("li", {}, h("a", { class: "row-title", href: root + page }, title)))));
}
