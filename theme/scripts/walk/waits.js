/* Waiting: a night, a rest, parts that were ordered; with the day when it ends, and as a calendar file. */

/** @import { Wait } from "../made/jobschema.js" */
/** @import { View } from "../types.js" */
import { now } from "../job/job.js";
import { fileName } from "../job/jobfile.js";
import { begin, calendar, end, waitOf } from "../job/wait.js";
import { h, one } from "../show/dom.js";
import { download } from "../show/download.js";
import { day } from "../show/figures.js";
import { say } from "../site/words.js";
import { button, days, waitText } from "./pieces.js";
import { changeAndDraw } from "./stage.js";

/** What is waited for, in words. @param {Wait} wait */
export const waitName = (wait) => (wait.what === "parts" ? say("Parts ordered: {title}", { title: wait.title }) : wait.title);

/**
 * A moment as a field of a page takes it: in the time of the device.
 * @param {number} at
 */
export function local(at) {
  const date = new Date(at);
  return new Date(at - date.getTimezoneOffset() * 60000).toISOString().slice(0, 16);
}

/**
 * What waits at a step or an ending, or may begin to.
 * @param {View} view
 */
export function waitBox(view) {
  const { node, job, leg } = view;
  if (node.kind === "handover") return null;
  const wait = waitOf(job, leg.slug, node.name);
  if (wait) return running(view, wait);
  const [, likely] = node.wait;
  const hasParts = node.kind === "ending" && Object.keys(node.parts).length > 0;
  return [
    likely ? starter(view, "rest", say("It is waiting now: {time}", { time: waitText(node.wait) }), Date.now() + likely * 3600000) : null,
    hasParts ? starter(view, "parts", say("Parts are ordered"), Date.now() + 3 * 24 * 3600000) : null,
  ];
}

/**
 * @param {View} view
 * @param {Wait["what"]} what
 * @param {string} text
 * @param {number} until
 */
function starter(view, what, text, until) {
  const { job, leg, node } = view;
  const id = `until-${what}`;
  const start = () => {
    const until = one(HTMLInputElement, `#${id}`).value;
    if (!until || Number.isNaN(Date.parse(until))) return;
    changeAndDraw(view, () => begin(job, { slug: leg.slug, work: node.name, title: node.title, what, since: now(), until: new Date(until).toISOString() }));
  };
  return h("details", { class: "wait-of" }, h("summary", {}, text),
    h("p", {}, h("label", { for: id }, what === "parts" ? say("They should be here by") : say("It is over at")), " ",
      h("input", { id, type: "datetime-local", value: local(until) })),
    h("p", { class: "buttons" }, button(say("Wait until then"), start, "small-button")));
}

/**
 * @param {View} view
 * @param {Wait} wait
 */
function running(view, wait) {
  const { job } = view;
  const left = Date.parse(wait.until) - Date.now();
  const file = () => download(`${fileName(job)}.ics`, "text/calendar;charset=utf-8", calendar(job, wait, `${waitName(wait)} – ${job.car ? job.car.name : job.name}`));
  return h("section", { class: "note waiting" },
    h("p", {}, h("b", {}, left > 0 ? say("Waiting until {day}", { day: day(wait.until) }) : say("The wait is over since {day}", { day: day(wait.until) })),
      left > 0 ? ` (${say("{time} more", { time: days(left / 3600000) })})` : ""),
    h("p", {}, waitName(wait)),
    h("p", { class: "buttons" },
      left > 0 ? button(say("Into my calendar"), file, "small-button") : null,
      button(left > 0 ? say("It is over already") : say("Understood"), () => changeAndDraw(view, () => end(job, wait.slug, wait.work)), "small-button")));
}
