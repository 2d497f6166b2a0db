/* The job as plain text, for a professional and on paper: what a workshop can use, on two pages at most. */

/** @import { Job, Leg, Notes, Seen, Tried } from "../made/jobschema.js" */
/** @import { Models, Settings } from "../types.js" */
import { car as carHere } from "../device/store.js";
import { current } from "../job/job.js";
import { fileName } from "../job/jobfile.js";
import { doneIn, done as workOf, soFar } from "../job/tally.js";
import { bill, mean } from "../reckon/bill.js";
import { shares } from "../reckon/odds.js";
import { download } from "../show/download.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { ranked, stateName } from "./pieces.js";
import { outcomeText, seenText } from "./said.js";

/** @typedef {[job: Job, models: Models, settings: Settings]} Reported */

/** Signs in a line, and lines of two sheets (A4 or US letter, 10 points, the margins of a browser). */
const WIDTH = 84;
const LINES = 104;

/** Signs of one note in a report that would be longer than two pages. */
const SHORT = 160;

/** @param {Reported} job */
export const saveReport = (...job) => download(`${fileName(job[0])}.txt`, "text/plain;charset=utf-8", report(...job));

/**
 * A text in lines that fit, all but the first set in.
 * @param {string} text
 * @param {string} [indent]
 */
function wrapped(text, indent = "    ") {
  /** @type {string[]} */
  const lines = [];
  let line = "";
  for (const word of text.split(/[ \t]+/).flatMap((one) => one.match(new RegExp(`.{1,${WIDTH - indent.length}}`, "gsu")) || [])) {
    if (line && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = indent + word;
    } else line = line ? `${line} ${word}` : word;
  }
  return [...lines, line];
}

/**
 * What an owner noted beside a step or an ending.
 * @param {Notes | undefined} notes
 * @param {number} most signs of a note
 */
function noted(notes, most) {
  if (!notes) return [];
  const { note = "", spent, took } = notes;
  const text = note.length > most ? `${note.slice(0, most).replace(/\s+/g, " ")} …` : note;
  return [
    ...(text ? text.split("\n").flatMap((line) => wrapped(`    ${line}`)) : []),
    ...(spent === undefined ? [] : [`    ${say("Really spent")}: ${figures.money(spent)}`]),
    ...(took === undefined ? [] : [`    ${say("Really took")}: ${figures.minutes(took)}`]),
  ];
}

/** @param {Tried} tried */
const trialText = (tried) => {
  const clean = tried.trials.filter((one) => one.clean).length;
  return tried.trials.length ? [`    ${say("Clean trials: {count}, the last one on {date}", { count: clean, date: figures.date(tried.trials[tried.trials.length - 1].at) })}`] : [];
};

/**
 * @param {Leg} leg
 * @param {Seen | Tried} entry
 * @param {number} most
 */
function entryLines(leg, entry, most) {
  const [name, text] = "ending" in entry ? [entry.ending, outcomeText(entry)] : [entry.step, seenText(entry)];
  return [...wrapped(`- ${figures.day(entry.at)}  ${entry.title}: ${text}`), ...("ending" in entry ? trialText(entry) : []), ...noted(leg.notes[name], most)];
}

/**
 * @param {Leg} leg
 * @param {number} most
 */
function legLines(leg, most) {
  const all = doneIn(leg);
  const known = leg.seen.filter((seen) => seen.known);
  const open = Object.entries(leg.notes).filter(([name]) => ![...all.map((one) => one.name), ...known.map(({ step }) => step)].includes(name));
  return [
    leg.title, "-".repeat(Math.min(WIDTH, leg.title.length)),
    ...known.flatMap((seen) => entryLines(leg, seen, most)), ...all.flatMap(({ entry }) => entryLines(leg, entry, most)),
    ...open.flatMap(([, notes]) => noted(notes, most)), "",
  ];
}

/**
 * @param {Job} job
 * @param {Models} models
 */
function causeLines(job, models) {
  const { model, where } = current(job, models);
  const now = where && where.weights && shares(where.weights);
  if (!model || !now) return [];
  const rows = ranked(model, now).filter(({ share }) => share > 0);
  return [say("What is left, by the odds of the playbook"), ...rows.slice(0, 8).map(({ name, share }) => `- ${name}: ${figures.share(share)}`), ""];
}

/** @param {Job} job */
function carLines({ car }) {
  const profile = car && carHere(car.id);
  if (!car) return [];
  const { engine = "", mileage = "" } = profile || {};
  return [
    `${say("Car")}: ${[car.name, engine, mileage].filter(Boolean).join(", ")}`,
    ...(profile ? profile.facts.map(({ expect }) => `  ${expect}`) : []),
  ];
}

/**
 * @param {Reported} reported
 * @param {number} most signs of one note
 */
function lines([job, models, settings], most) {
  const works = workOf(job, models);
  const spent = soFar(works, settings);
  const first = models[job.legs[0].slug];
  return [
    ...wrapped(job.name, ""), "=".repeat(Math.min(WIDTH, job.name.length)), "",
    ...carLines(job),
    ...(first ? wrapped(`${say("Complaint")}: ${first.summary}`, "  ") : []),
    ...(first && first.shows.length ? wrapped(`${say("It shows")}: ${first.shows.join("; ")}`, "  ") : []),
    ...(first && first.codes.length ? [`${say("Trouble codes")}: ${first.codes.join(", ")}`] : []),
    `${say("State")}: ${stateName(job)}`,
    `${say("Started")}: ${figures.date(job.created)}`,
    `${say("So far")}: ${figures.money(spent.money)}, ${figures.minutes(spent.minutes)}`,
    `${say("A workshop would have asked")}: ${figures.about(mean(bill(works, settings).shopMoney))}`, "",
    ...causeLines(job, models),
    ...job.legs.flatMap((leg) => legLines(leg, most)),
  ];
}

/** @param {Reported} reported */
export function report(...reported) {
  const long = lines(reported, Infinity);
  const short = long.length <= LINES ? long : lines(reported, SHORT);
  const shown = short.length <= LINES ? short : [...short.slice(0, LINES - 1), say("… and {count} more lines in the job file.", { count: short.length - LINES + 1 })];
  return `${shown.join("\n")}\n`;
}
