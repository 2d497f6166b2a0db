/* The jobs on this device, and jobs from another one. */

import { removeEntry, job as jobHere, jobs } from "../device/store.js";
import { fromYaml } from "../job/jobfile.js";
import { h, one } from "../show/dom.js";
import { download } from "../show/download.js";
import { date } from "../show/figures.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { button, stateName, title } from "./pieces.js";
import { go, keep, show } from "./stage.js";

export function drawList() {
  const { sound, damaged } = jobs();
  const rows = sound.map((job) => h("li", { class: "row" },
    h("a", { class: "row-title", href: `#job=${job.id}` }, job.name),
    h("p", {}, stateName(job), " · ", job.legs.map((leg) => leg.title).join(" → ")),
    h("p", { class: "small" }, say("Last touched {date}", { date: date(job.updated) }))));
  show(
    title(say("Jobs on this device")),
    sound.length + damaged.length
      ? h("ul", { class: "rows" }, rows, damaged.map(brokenRow))
      : h("p", { class: "lead" }, say("No job yet. Pick what the car is doing and start a walk from its playbook.")),
    h("p", { class: "buttons" }, h("a", { class: "button", href: `${root}index.html` }, say("What is the car doing?"))),
    h("h2", {}, say("Bring a job from another device")),
    h("p", {}, h("label", { for: "import" }, say("Job file:")), " ", h("input", { id: "import", type: "file", accept: ".yaml,.yml,.json,text/plain", onchange: bring })),
    h("p", { id: "import-said", role: "status" }),
    h("p", {}, h("a", { href: `${root}settings.html` }, say("Your tools and prices"))));
  document.title = say("Jobs on this device");
}

/** @param {{name: string, text: string | null}} entry */
function brokenRow({ name, text }) {
  const forget = () => {
    if (!confirm(say("Delete this job for good?"))) return;
    removeEntry(name);
    drawList();
  };
  return h("li", { class: "row" },
    h("p", {}, say("A job here is damaged and cannot be opened. Everything else is unharmed.")),
    h("p", { class: "buttons" },
      button(say("Save what is left of it"), () => download("damaged-job.txt", "text/plain", text || "")),
      button(say("Delete it"), forget, "quiet")));
}

/** @param {Event} event */
async function bring({ target }) {
  const file = target instanceof HTMLInputElement && target.files && target.files[0];
  if (!file) return;
  const job = file.size < 2e6 ? fromYaml(await file.text()) : null;
  if (!job) {
    one(HTMLElement, "#import-said").textContent = say("This file is not a job that a walk has saved.");
    return;
  }
  if (jobHere(job.id) && !confirm(say("This job is on this device already. Replace it by the one in the file?"))) return;
  keep(job);
  go(`#job=${job.id}`);
}
