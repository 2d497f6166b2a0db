/* The form for those who do not write YAML: a playbook is filled in here, and written as a file of the library. */

/** @import { Draft, FormData, Origin } from "./form/shapes.js" */
import { blank, bookOf } from "./form/book.js";
import { edit, leave, reveal } from "./form/editor.js";
import { draft as keptDraft } from "./form/drafts.js";
import { treeOf } from "./form/patch.js";
import { startScreen, when } from "./form/start.js";
import { h, one } from "./show/dom.js";
import { Unloadable, held } from "./site/data.js";
import { say } from "./site/words.js";

const place = one(HTMLElement, "#form");

/** Begin where the address says. */
async function route() {
  leave();
  /** @type {FormData} */
  const data = await held("data/form.js", "form");
  const [, kind, name] = /^#(new|draft|improve)(?:=(.*))?$/.exec(location.hash) || ["", "", ""];
  if (kind === "new") return begin(data);
  if (kind === "draft") return goOn(data, name);
  if (kind === "improve") return improve(data, name);
  one(HTMLElement, "#form-banner").hidden = true;
  place.replaceChildren(...startScreen(data, route));
  return shown();
}

function shown() {
  place.dataset.ready = "yes";
  document.title = document.title.replace(/^[^·]*/, `${place.querySelector("h1")?.textContent} `);
  scrollTo(0, 0);
}

/** @param {FormData} data */
function begin(data) {
  const key = `new-${Date.now().toString(36)}`;
  const area = Object.keys(data.areas).length === 1 ? Object.keys(data.areas)[0] : "";
  /** @type {Draft} */
  const draft = { key, slug: null, area, book: blank(), hash: "", saved: "" };
  history.replaceState(null, "", `#draft=${key}`);
  edit(place, { data, draft, origin: null }, []);
  shown();
}

/**
 * @param {FormData} data
 * @param {string} key
 */
function goOn(data, key) {
  const draft = keptDraft(key);
  if (!draft) {
    location.hash = "";
    return;
  }
  edit(place, { data, draft, origin: null }, []);
  shown();
}

/**
 * @param {FormData} data
 * @param {string} slug
 */
async function improve(data, slug) {
  /** @type {Origin} */
  const origin = await held(`data/origin/${slug}.js`, "origin", slug);
  const key = `improve-${slug}`, kept = keptDraft(key);
  /** @type {Draft} */
  const fresh = { key, slug, area: origin.path.split("/")[0], book: bookOf(treeOf(origin.text, origin.tree), data.records), hash: origin.hash, saved: "" };
  const notes = [];
  if (kept) notes.push(say("This is your draft of {when}.", { when: when(kept.saved) }));
  if (kept && kept.hash !== origin.hash) notes.push(say("The playbook has been changed since you began. Handing in this draft would undo those changes: compare them first, or throw the draft away and begin anew."));
  edit(place, { data, draft: kept || fresh, origin }, notes);
  shown();
}

/** @param {unknown} error */
function fail(error) {
  if (!(error instanceof Unloadable)) throw error;
  place.replaceChildren(h("h1", {}, say("Write a playbook")), h("p", { class: "note", role: "alert" }, say("This part of the site cannot be loaded: {file}", { file: error.message })),
    h("p", {}, h("a", { href: "#" }, say("All drafts"))));
  shown();
}

place.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("[data-go]") : null;
  if (!link) return;
  event.preventDefault();
  reveal((link.getAttribute("href") || "").slice(1));
});
const follow = () => route().catch(fail);
addEventListener("hashchange", follow);
follow();

