/* Handing over: the report is seen before it leaves, and the job is marked. */

/** @import { View } from "../types.js" */
import { now, stateOf } from "../job/job.js";
import { fileName } from "../job/jobfile.js";
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { button, title, way } from "./pieces.js";
import { report, saveReport } from "./report.js";
import { announce, changeAndDraw, jobAddress, tell } from "./stage.js";

/** @param {View} view */
export function reportScreen(view) {
  const { job, models, settings } = view;
  const text = report(job, models, settings);
  const isHanded = job.state === "handed-over";
  const said = h("p", { role: "status" });
  const copy = async () => {
    const done = await copied(text);
    said.textContent = done ? say("Copied.") : say("This browser does not let it be copied: mark the text and copy it by hand.");
  };
  const share = () => navigator.share({ title: job.name, text }).catch(() => { /* not shared */ });
  const mark = () => changeAndDraw(view, () => {
    job.state = isHanded ? stateOf(job) : "handed-over";
    if (isHanded) delete job.handed;
    else job.handed = now();
    tell(job, isHanded ? say("The job is taken up again, with all that was seen.") : say("The job is marked as handed over. You can take it up again at any time."));
  });
  return h("article", { class: "card report" },
    title(say("Hand over to a professional")),
    h("p", {}, say("This is all that the report says. Stopping is always right: what you have found out saves the workshop time.")),
    h("div", { class: "results" }, button(isHanded ? say("Take the job up again") : say("It is handed over"), mark)),
    h("p", { class: "buttons" },
      button(say("Copy"), copy, "quiet"),
      "share" in navigator ? button(say("Share"), share, "quiet") : null,
      button(say("Print"), () => print(), "quiet"),
      button(say("Save as a file"), () => { saveReport(job, models, settings); announce(say("The report is saved as {name}.", { name: `${fileName(job)}.txt` })); }, "quiet"),
      way(say("Not yet: go on"), jobAddress(job))),
    said,
    h("pre", { class: "report-text", tabindex: "0", "aria-label": say("Report") }, text));
}

/**
 * Whether a text could be put where others can be pasted from.
 * @param {string} text
 */
async function copied(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
