/* The job as a thing: its name and car, files of it, and its end. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { Models, Settings } from "../types.js" */
import { cars, removeJob } from "../device/store.js";
import { carOf } from "../job/car.js";
import { fileName, toYaml } from "../job/jobfile.js";
import { h } from "../show/dom.js";
import { download } from "../show/download.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { button } from "./pieces.js";
import { saveReport } from "./report.js";
import { draw, go, keep } from "./stage.js";

/**
 * @param {Job} job
 * @param {Models} models
 * @param {Settings} settings
 */
export function takeAway(job, models, settings) {
  /** @param {Event} event */
  const rename = ({ target }) => {
    if (!(target instanceof HTMLInputElement)) return;
    job.name = target.value.trim() || job.name;
    keep(job);
  };
  const forget = () => {
    if (!confirm(say("Delete this job for good?"))) return;
    removeJob(job);
    go("#");
  };
  return h("details", { class: "take-away" }, h("summary", {}, say("Name, car, take away, delete")),
    h("p", {}, h("label", { for: "job-name" }, say("Name of this job")), h("input", { id: "job-name", type: "text", maxlength: "80", value: job.name, onchange: rename })),
    whichCar(job),
    h("p", {}, h("a", { href: `${root}sheet.html#job=${job.id}` }, say("The way so far on paper"))),
    h("p", { class: "buttons" },
      button(say("Report as text"), () => saveReport(job, models, settings), "quiet"),
      button(say("Job file (YAML)"), () => download(`${fileName(job)}.yaml`, "application/yaml", toYaml(job)), "quiet"),
      button(say("Print"), () => print(), "quiet"),
      button(say("Delete this job"), forget, "quiet")));
}

/** @param {Job} job */
function whichCar(job) {
  const known = cars();
  /** @param {Event} event */
  const choose = ({ target }) => {
    const car = target instanceof HTMLSelectElement && known.find(({ id }) => id === target.value);
    job.car = car ? carOf(car) : null;
    keep(job);
    draw(false);
  };
  if (!known.length) return h("p", {}, h("a", { href: "#" }, say("Give your cars names in the list of jobs, and each job belongs to one.")));
  const chosen = job.car && job.car.id;
  return h("p", {}, h("label", { for: "job-car" }, say("Car")), h("select", { id: "job-car", onchange: choose },
    h("option", { value: "" }, say("no car of mine")),
    known.map(({ id, name }) => h("option", { value: id, selected: id === chosen }, name))));
}
