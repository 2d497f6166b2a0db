/* Handing in: the playbook as a file, to copy, to save, or to take to the host that keeps the library. */

/** @import { Desk } from "./shapes.js" */
import { h, put as write } from "../show/dom.js";
import { download } from "../show/download.js";
import { say } from "../site/words.js";
import { named, slug, treeOfBook } from "./book.js";
import { patched } from "./patch.js";
import { entries } from "./yaml.js";

/** Characters of the longest address that hosts take for sure. */
const LONGEST = 8000;

/**
 * The slug of a playbook: its own, or one made of its title that no other has.
 * @param {Desk} desk
 */
export function slugOf({ draft, data }) {
  if (draft.slug) return draft.slug;
  const wanted = slug(draft.book.title || "") || "new-playbook";
  let name = wanted;
  for (let k = 2; data.taken.includes(name); k++) name = `${wanted}-${k}`;
  return name;
}

/**
 * Where its file is in the library.
 * @param {Desk} desk
 */
export const pathOf = (desk) => (desk.origin ? desk.origin.path : `${desk.draft.area || say("area")}/${slugOf(desk)}.yaml`);

/**
 * The text of the file.
 * @param {Desk} desk
 */
export function textOf({ draft, data, origin }) {
  const tree = treeOfBook(named(draft.book), data.records);
  return origin ? patched(origin, tree) : data.head + entries(tree, "");
}

/**
 * The page of the host for a file; null where the library names none.
 * @param {Desk} desk
 * @param {string} text
 */
export function addressOf(desk, text) {
  const { data, draft } = desk;
  const pattern = draft.slug ? data.edit : data.new;
  if (!pattern) return null;
  const path = encodeURIComponent(pathOf(desk)).replace(/%2F/g, "/");
  /** @param {string} said */
  const filled = (said) => pattern.replace(/\{(path|line|text)\}/g, (_, name) => (name === "path" ? path : name === "line" ? "1" : encodeURIComponent(said)));
  const whole = filled(text);
  return whole.length <= LONGEST ? { address: whole, holds: pattern.includes("{text}") } : { address: filled(""), holds: false };
}

/**
 * The part of the form where the file is handed in.
 * @param {Desk} desk
 */
export function handingPart(desk) {
  const box = h("pre", { class: "frame", tabindex: 0, role: "group", "aria-label": say("The file") }, h("code", { "data-file": true }));
  const said = h("p", { role: "status", "data-handed": true });
  const copy = async () => {
    const text = textOf(desk);
    try {
      await navigator.clipboard.writeText(text);
      write(said, say("Copied."));
    } catch {
      getSelection()?.selectAllChildren(box);
      write(said, say("This browser does not let the page copy. The text is marked now: copy it yourself."));
    }
  };
  const save = () => {
    download(pathOf(desk).replace(/^.*\//, ""), "application/yaml", textOf(desk));
    write(said, say("Saved among your downloads."));
  };
  return [
    h("p", {}, say("This is the file, as the library keeps it:"), " ", h("code", { "data-path": true })),
    h("p", { class: "note", "data-unready": true, hidden: true }, say("Something is still to be mended or filled in. You can hand it in as it is; the check of the library will say so too.")),
    h("p", { class: "buttons" }, h("button", { type: "button", onclick: copy }, say("Copy")), h("button", { type: "button", class: "quiet", onclick: save }, say("Save as a file")),
      h("a", { class: "button quiet", rel: "external noopener noreferrer", target: "_blank", "data-host": true, hidden: true }, desk.draft.slug ? say("Open the file on its host") : say("Begin the file on its host"))),
    h("p", { class: "small", "data-host-hint": true, hidden: true }),
    said,
    h("details", {}, h("summary", {}, say("Show the file")), box),
  ];
}

/**
 * Write the file, and where it goes, as they are now.
 * @param {Desk} desk
 * @param {boolean} ready
 * @param {ParentNode} within
 */
export function refreshHanding(desk, ready, within) {
  const text = textOf(desk), host = addressOf(desk, text);
  for (const place of within.querySelectorAll("[data-file]")) write(place, text);
  for (const place of within.querySelectorAll("[data-path]")) write(place, pathOf(desk));
  for (const place of within.querySelectorAll("[data-unready]")) /** @type {HTMLElement} */ (place).hidden = ready;
  for (const place of within.querySelectorAll("[data-host]")) {
    if (host) place.setAttribute("href", host.address);
    /** @type {HTMLElement} */ (place).hidden = !host;
  }
  for (const place of within.querySelectorAll("[data-host-hint]")) {
    /** @type {HTMLElement} */ (place).hidden = !host;
    write(place, host && host.holds ? say("The text goes along.") : say("Copy first, then put the text in place of what stands there."));
  }
}

