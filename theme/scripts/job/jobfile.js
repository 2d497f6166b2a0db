/* A job as a file, to be taken to another device. */

/** @import { Job } from "../made/jobschema.js" */
import { isJob } from "./shape.js";

/**
 * The job as YAML (flow style, which JSON is a part of) with a pointer to its schema.
 * Characters that YAML 1.1 takes for line breaks, or not at all, are escaped.
 * @param {Job} job
 */
export function toYaml(job) {
  const text = JSON.stringify(job, null, 2).replace(/[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]/g,
    (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);
  return `# yaml-language-server: $schema=schema/job.json\n# A job of ${job.legs[0].slug}, to be imported on another device.\n${text}\n`;
}

/**
 * The job in a file that :func:`toYaml` made; null where it is not one.
 * @param {string} text
 */
export function fromYaml(text) {
  try {
    const job = JSON.parse(text.replace(/^\uFEFF/, "").split(/\r?\n/).filter((line) => !/^\s*#/.test(line)).join("\n"));
    return isJob(job) ? job : null;
  } catch {
    return null;
  }
}
