/* The home page: jobs that wait on this device, and the whole site on it. */

import { openJobs } from "./device/store.js";
import { scope, worker } from "./device/worker.js";
import { all, h, one, put } from "./show/dom.js";
import { root } from "./site/site.js";
import { say } from "./site/words.js";

/** @param {HTMLElement} place */
function carryOn(place) {
  const open = openJobs().slice(0, 3);
  place.replaceChildren(...open.map((job) => h("a", { class: "button", href: `${root}walk.html#job=${job.id}` }, say("Carry on: {name}", { name: job.name }))));
  place.hidden = !open.length;
}

/** @param {HTMLElement} box */
function offline(box) {
  const said = one(HTMLElement, "[role='status']", box);
  const keepButton = one(HTMLButtonElement, "button", box);
  if (!worker) {
    keepButton.hidden = true;
    return;
  }
  const container = worker;
  const bar = h("progress", { "aria-label": say("Keep this site on this device"), hidden: true });
  said.after(bar);
  const kept = () => {
    put(said, say("The whole site is on this device. Pages, search and the walk work without a signal."));
    bar.hidden = true;
    box.dataset.kept = "yes";
  };
  container.addEventListener("message", ({ data }) => {
    if (data.kind === "state" && data.kept) kept();
    if (data.kind === "progress") {
      bar.hidden = false;
      bar.max = data.all;
      bar.value = data.done;
      if (data.done < data.all) put(said, say("{done} of {all} files kept …", data));
      else kept();
    } else if (data.kind === "failed") {
      bar.hidden = true;
      put(said, say("Not everything could be kept: {why}. Try again with a better signal or more room.", data));
    }
  });
  keepButton.addEventListener("click", async () => {
    put(said, say("Starting …"));
    try {
      await container.register(`${root}sw.js`, { scope });
      const { active } = await container.ready;
      if (active) active.postMessage({ kind: "keep" });
      if (navigator.storage && navigator.storage.persist) await navigator.storage.persist();
    } catch {
      put(said, say("This browser does not let the site be kept."));
    }
  });
}

all(HTMLElement, "#carry-on").forEach(carryOn);
all(HTMLElement, ".offline").forEach(offline);
