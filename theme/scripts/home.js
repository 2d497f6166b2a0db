/* The home page: jobs that wait on this device. */

import { openJobs } from "./device/store.js";
import { all, h } from "./show/dom.js";
import { root } from "./site/site.js";
import { say } from "./site/words.js";

/** @param {HTMLElement} place */
function carryOn(place) {
  const open = openJobs().slice(0, 3);
  place.replaceChildren(...open.map((job) => h("a", { class: "button", href: `${root}walk.html#job=${job.id}` }, say("Carry on: {name}", { name: job.name }))));
  place.hidden = !open.length;
}

all(HTMLElement, "#carry-on").forEach(carryOn);
