/* Waiting: time that passes without hands, until a day that is known. Pure. */

/** @import { Job, Wait } from "../made/jobschema.js" */

/**
 * What a job waits for now, the soonest first.
 * @param {Job} job
 * @param {number} [at]
 */
export const waiting = (job, at = Date.now()) => job.waits
  .filter(({ until }) => Date.parse(until) > at)
  .sort((a, b) => Date.parse(a.until) - Date.parse(b.until));

/**
 * What was waited for and is over now.
 * @param {Job} job
 * @param {number} [at]
 */
export const waited = (job, at = Date.now()) => job.waits.filter(({ until }) => Date.parse(until) <= at);

/**
 * What a step or an ending waits for, if it does.
 * @param {Job} job
 * @param {string} slug
 * @param {string} work
 */
export const waitOf = (job, slug, work) => job.waits.find((one) => one.slug === slug && one.work === work) || null;

/**
 * @param {Job} job
 * @param {Wait} wait
 */
export function begin(job, wait) {
  end(job, wait.slug, wait.work);
  job.waits.push(wait);
}

/**
 * @param {Job} job
 * @param {string} slug
 * @param {string} work
 */
export function end(job, slug, work) {
  job.waits = job.waits.filter((one) => one.slug !== slug || one.work !== work);
}

/** Text of a calendar file: RFC 5545, section 3.3.11. @param {string} text */
const escaped = (text) => text.replace(/[\\;,]/g, "\\$&").replace(/\r?\n/g, "\\n");

/** A moment as RFC 5545 writes it (section 3.3.5). @param {string} at */
const moment = (at) => new Date(at).toISOString().replace(/[-:]|\.\d+/g, "");

/** Lines of at most 75 octets (RFC 5545, section 3.1). @param {string} line */
function folded(line) {
  const parts = [""];
  for (const sign of line) {
    const k = parts.length - 1;
    if (new TextEncoder().encode(parts[k] + sign).length > (k ? 74 : 75)) parts.push(sign);
    else parts[k] += sign;
  }
  return parts.join("\r\n ");
}

/**
 * The end of a wait as a calendar file.
 * @param {Job} job
 * @param {Wait} wait
 * @param {string} summary
 */
export function calendar(job, wait, summary) {
  const lines = [
    "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Droplight//Jobs//EN", "BEGIN:VEVENT",
    `UID:${job.id}-${wait.slug}-${wait.work}@droplight`, `DTSTAMP:${moment(wait.since)}`, `DTSTART:${moment(wait.until)}`, "DURATION:PT15M",
    `SUMMARY:${escaped(summary)}`, `DESCRIPTION:${escaped(`${job.name}: ${wait.title}`)}`,
    "BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:PT0M", `DESCRIPTION:${escaped(summary)}`, "END:VALARM", "END:VEVENT", "END:VCALENDAR",
  ];
  return `${lines.map(folded).join("\r\n")}\r\n`;
}
