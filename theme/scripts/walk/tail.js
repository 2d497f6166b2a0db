/* Below each screen: back, what was answered, taking the job away. */

/** @import { Job, Leg } from "../made/jobschema.js" */
/** @import { Models, Settings, View } from "../types.js" */
import { removeJob } from "../device/store.js";
import { back, change } from "../job/job.js";
import { toYaml } from "../job/jobfile.js";
import { h } from "../show/dom.js";
import { download } from "../show/download.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { button } from "./pieces.js";
import { fileName, saveReport, whyOff } from "./report.js";
import { draw, go, keep, keepAndDraw, tell } from "./stage.js";

/** @param {View} view */
export function tail(view) {
  const { job, models, settings, model } = view;
  const canGoBack = job.legs.length > 1 || job.legs[0].way.length > 0;
  const goBack = () => {
    back(job);
    keepAndDraw(job);
  };
  return h("section", { class: "tail" },
    h("p", { class: "buttons" },
      canGoBack ? button(say("Back"), goBack, "quiet") : null,
      h("a", { class: "button quiet", href: "#" }, say("Pause")),
      button(say("Stop and hand over"), () => handToProfessional(view), "quiet")),
    answered(job),
    h("details", {}, h("summary", {}, say("The whole way at a glance")), h("p", {}, h("a", { href: `${root}flow/${model.slug}.svg` }, say("Flowchart of “{title}”", { title: model.title })))),
    takeAway(job, models, settings));
}

/**
 * Stopping is always right: what is known goes along.
 * @param {View} view
 */
function handToProfessional({ job, models, settings }) {
  saveReport(job, models, settings);
  tell(job, say("The report is saved as a file: give it to the professional. The job stays here."));
  draw();
}

/**
 * What was done in a leg and left again.
 * @param {Job} job
 * @param {Leg} leg
 */
function offPath(job, leg) {
  return leg.extra.map((entry, k) => h("li", { class: "small" }, `${entry.title} – ${whyOff(entry)} `,
    button(say("Does not count"), () => {
      leg.extra.splice(k, 1);
      keepAndDraw(job);
    }, "small-button")));
}

/**
 * @param {Job} job
 * @param {number} l number of the leg
 */
function onPath(job, l) {
  return job.legs[l].way.map((entry, k) => h("li", {}, h("b", {}, entry.title), ": ", entry.expect,
    entry.note ? h("span", { class: "small" }, ` “${entry.note}”`) : null, " ",
    button(say("Change"), () => {
      change(job, l, k);
      keepAndDraw(job);
    }, "small-button")));
}

/** @param {Job} job */
function answered(job) {
  const rows = [
    ...job.legs.flatMap((leg, l) => [...onPath(job, l), ...offPath(job, leg)]),
    ...job.elsewhere.flatMap((leg) => offPath(job, leg)),
  ];
  return rows.length ? h("details", { class: "answered" }, h("summary", {}, say("Your answers ({count})", { count: rows.length })), h("ol", {}, rows)) : null;
}

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
  return h("details", { class: "take-away" }, h("summary", {}, say("Name, take away, delete")),
    h("p", {}, h("label", { for: "job-name" }, say("Name of this job (which car?)")), h("input", { id: "job-name", type: "text", maxlength: "80", value: job.name, onchange: rename })),
    h("p", { class: "buttons" },
      button(say("Report as text"), () => saveReport(job, models, settings), "quiet"),
      button(say("Job file (YAML)"), () => download(`${fileName(job)}.yaml`, "application/yaml", toYaml(job)), "quiet"),
      button(say("Print"), () => print(), "quiet"),
      button(say("Delete this job"), forget, "quiet")));
}
