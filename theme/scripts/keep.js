/* What of the site is kept on this device: the whole, areas or single playbooks, each with its size. */

import { forget, keep, listen, sizes } from "./device/keeping.js";
import { worker } from "./device/worker.js";
import { all, h, one, put } from "./show/dom.js";
import { bytes } from "./show/figures.js";
import { say } from "./site/words.js";

/** @import { Kept } from "./device/keeping.js" */

/**
 * What is kept, in words.
 * @param {Kept} kept
 */
function told({ wanted, whole }) {
  if (!wanted) return "";
  if (!whole) return say("Not everything is here yet. Press the button again where the signal is better.");
  if (wanted.includes("*")) return say("The whole site is on this device. Pages, search and the walk work without a signal.");
  return say("A part of the site is on this device and works without a signal.");
}

/**
 * The box of a page; each of its buttons stands for a part of the site.
 * @param {HTMLElement} box
 */
function fill(box) {
  const said = one(HTMLElement, "[role='status']", box);
  const buttons = all(HTMLButtonElement, "[data-part]", box);
  const bar = h("progress", { "aria-label": say("Keep this site on this device"), hidden: true });
  said.after(bar);
  /** @type {string[]} */
  let before = [];
  const remove = h("button", { type: "button", class: "quiet small-button", hidden: true, onclick: forget }, say("Remove it from this device"));
  bar.after(remove);

  /** @param {string} part */
  const ask = async (part) => {
    put(said, say("Starting …"));
    const wants = part === "*" || before.includes("*") ? ["*"] : [...new Set([...before, part])];
    await keep(wants).catch(() => put(said, say("This browser does not let the site be kept.")));
  };
  for (const button of buttons) button.addEventListener("click", () => ask(button.dataset.part || "*"));

  listen((data) => {
    bar.hidden = data.kind !== "progress" || data.done === data.all;
    if (data.kind === "state") {
      before = data.wanted || [];
      remove.hidden = !data.wanted;
      put(said, told(data));
    } else if (data.kind === "progress") {
      bar.max = data.all;
      bar.value = data.done;
      put(said, say("{done} of {all} files kept …", data));
    } else if (data.kind === "failed") {
      put(said, say("Not everything could be kept: {why}. Try again with a better signal or more room.", data));
    }
  });

  const folded = one(HTMLElement, ".parts", box).closest("details") || box;
  const tellSizes = async () => {
    const size = await sizes();
    for (const button of buttons) {
      put(button, say("{name} ({size})", { name: button.textContent || "", size: bytes(size(button.dataset.part || "*")) }));
    }
  };
  folded.addEventListener("toggle", () => { tellSizes().catch(() => { /* without a signal nothing more can be kept */ }); }, { once: true });
}

for (const box of all(HTMLElement, ".offline")) {
  if (worker) fill(box);
  else for (const place of all(HTMLElement, "[data-part], .parts", box)) place.hidden = true;
}
