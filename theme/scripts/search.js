/* The search box: nothing is fetched but what the build listed. */

import { find, index } from "./search/find.js";
import { all, h, one, put } from "./show/dom.js";
import { held } from "./site/data.js";
import { root } from "./site/site.js";
import { say } from "./site/words.js";

/** @import { Doc, Found } from "./search/find.js" */

const MOST = 6;
const KINDS = [
  ["symptom", say("Symptoms")], ["code", say("Trouble codes")], ["cause", say("Causes")], ["step", say("Steps")],
  ["part", say("Parts")], ["tool", say("Tools")],
];

/** @type {Promise<Found> | null} */
let listed = null;

/** @returns {Promise<Found>} */
function ready() {
  listed = listed || held("data/search.js", "search").then(index);
  listed.catch(() => { listed = null; });
  return listed;
}

/** @param {Doc[]} docs */
function shown(docs) {
  const groups = KINDS.map(([kind, title]) => ({ title, of: docs.filter((doc) => doc.kind === kind) })).filter(({ of }) => of.length);
  if (!groups.length) return [h("p", {}, say("Nothing found. Try another word for what you notice, or pick an area below."))];
  return groups.map(({ title, of }) => h("section", {},
    h("h2", {}, title),
    h("ul", {}, of.slice(0, MOST).map((doc) => h("li", {}, h("a", { href: root + doc.page }, doc.title), doc.note ? h("small", {}, ` ${doc.note}`) : null))),
    of.length > MOST ? h("p", { class: "small" }, say("and {count} more", { count: of.length - MOST })) : null));
}

/** @param {HTMLFormElement} form */
function box(form) {
  const input = one(HTMLInputElement, "input", form);
  const place = one(HTMLElement, ".search-results", form);
  const said = one(HTMLElement, "[role='status']", form);
  const show = async () => {
    const query = input.value.trim();
    if (!query) {
      place.replaceChildren();
      put(said, "");
      return;
    }
    let docs;
    try {
      docs = find(await ready(), query);
    } catch {
      place.replaceChildren(h("p", {}, say("The search cannot be loaded.")));
      return;
    }
    place.replaceChildren(...shown(docs));
    put(said, docs.length ? say("{count} found", { count: docs.length }) : say("Nothing found"));
  };
  input.addEventListener("focus", () => ready().catch(() => {}), { once: true });
  input.addEventListener("input", show);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const first = place.querySelector("a");
    if (first) first.click();
  });
}

all(HTMLFormElement, "form.search").forEach(box);
