/* The job as plain text: for a professional, and on paper. */

/** @import { Answer, Ending, Extra, Job, Leg } from "../made/jobschema.js" */
/** @import { Models, Settings } from "../types.js" */
import { done, soFar } from "../job/tally.js";
import { bill, mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import { download } from "../show/download.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { stateName } from "./pieces.js";

/** @typedef {[job: Job, models: Models, settings: Settings]} Reported */

/** @type {Reported | null} */
let printed = null;

/**
 * What comes out when the page is printed.
 * @param {Reported | null} job
 */
export const printAs = (job) => { printed = job; };

/** @param {Extra} extra */
export const whyOff = ({ failed }) => (failed ? say("repaired, but the fault came back") : say("done, off the path now; still counts"));

/**
 * A name for files of a job: what its owner calls it.
 * @param {Job} job
 */
export function fileName(job) {
  const words = job.name.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[a-z0-9]+/g) || [];
  return words.join("-").slice(0, 60) || job.id;
}

/** @param {Reported} job */
export const saveReport = (...job) => download(`${fileName(job[0])}.txt`, "text/plain;charset=utf-8", report(...job));

/**
 * An answer, an ending or what was left again: when, what, and what the owner noted.
 * @param {Answer | Ending | Extra} one
 * @param {string} text
 */
const entry = (one, text) => [
  `- ${figures.date(one.at)}  ${text}`,
  ...(one.note ? one.note.split("\n").map((line) => `    ${line}`) : []),
  ...(one.spent === undefined ? [] : [`    ${say("Really spent")}: ${figures.money(one.spent)}`]),
  ...(one.took === undefined ? [] : [`    ${say("Really took")}: ${figures.minutes(one.took)}`]),
];

/** @param {Leg} leg */
function legLines(leg) {
  /** @type {[Answer | Extra, string][]} */
  const works = [
    ...leg.extra.map((one) => /** @type {[Extra, string]} */ ([one, `${one.title}${one.expect ? `: ${one.expect}` : ""} (${whyOff(one)})`])),
    ...leg.way.map((one) => /** @type {[Answer, string]} */ ([one, `${one.title}: ${one.expect}`])),
  ];
  works.sort(([a], [b]) => String(a.at).localeCompare(String(b.at)));
  const { ending } = leg;
  return [
    leg.title, "-".repeat(leg.title.length),
    ...works.flatMap(([one, text]) => entry(one, text)),
    ...(ending ? entry(ending, `${ending.title}${ending.done ? "" : ` (${say("not done yet")})`}`) : []),
    ...(ending ? ending.trials.map((one) => `    ${figures.date(one.at)}  ${one.clean ? say("clean trial") : say("fault showed")}`) : []),
    "",
  ];
}

/** @param {Reported} job */
function report(...[job, models, settings]) {
  const works = done(job, models);
  const spent = soFar(works, settings);
  const lines = [
    job.name, "=".repeat(job.name.length), "",
    `${say("State")}: ${stateName(job)}`,
    `${say("Started")}: ${figures.date(job.created)}`,
    `${say("So far")}: ${figures.money(spent.money)}, ${figures.minutes(spent.minutes)}`,
    `${say("A workshop would have asked")}: ${figures.about(mean(bill(works, settings).shopMoney))}`, "",
    ...[...job.legs, ...job.elsewhere].flatMap(legLines),
  ];
  return `${lines.join("\n")}\n`;
}

/** However a job is printed, its report is what comes out. */
export function followPrinting() {
  addEventListener("beforeprint", () => {
    if (!printed || document.querySelector(".print-report")) return;
    document.body.append(h("pre", { class: "print-report" }, report(...printed)));
    document.documentElement.classList.add("printing-report");
  });
  addEventListener("afterprint", () => {
    document.querySelectorAll(".print-report").forEach((sheet) => sheet.remove());
    document.documentElement.classList.remove("printing-report");
  });
}
