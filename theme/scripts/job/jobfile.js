/* A job as a file, to be taken to another device; and everything that is kept on a device as one. */

/** @import { Car, Job } from "../made/jobschema.js" */
import { asJob } from "./migrate.js";
import { isCar } from "./shape.js";

/** @typedef {{jobs: Job[], cars: Car[], settings: unknown}} Everything */

/**
 * A value as YAML (flow style, which JSON is a part of).
 * Characters that YAML 1.1 takes for line breaks, or not at all, are escaped.
 * @param {unknown} value
 */
const flow = (value) => JSON.stringify(value, null, 2).replace(/[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]/g,
  (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);

/**
 * The job as YAML with a pointer to its schema.
 * @param {Job} job
 */
export const toYaml = (job) =>
  `# yaml-language-server: $schema=schema/job.json\n# A job of ${job.legs[0].slug}, to be imported on another device.\n${flow(job)}\n`;

/**
 * All jobs, cars and settings as YAML.
 * @param {Everything} all
 */
export const everythingToYaml = (all) => `# Everything that the walk keeps on a device, to be imported on another one.\n${flow({ droplight: "everything", version: 1, ...all })}\n`;

/**
 * What a file holds; null where it is not written as one.
 * @param {string} text
 * @returns {any}
 */
function held(text) {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, "").split(/\r?\n/).filter((line) => !/^\s*#/.test(line)).join("\n"));
  } catch {
    return null;
  }
}

/**
 * What is in a file that :func:`toYaml` or :func:`everythingToYaml` made; null where it is not one. Of everything, what is
 * damaged is left out.
 * @param {string} text
 * @returns {Everything | null}
 */
export function fromYaml(text) {
  const value = held(text);
  const job = asJob(value);
  if (job) return { jobs: [job], cars: [], settings: null };
  if (!value || value.droplight !== "everything" || !Array.isArray(value.jobs) || !Array.isArray(value.cars)) return null;
  return {
    jobs: value.jobs.map(asJob).filter((/** @type {Job | null} */ one) => one !== null), cars: value.cars.filter(isCar),
    settings: value.settings,
  };
}

/**
 * A name for files of a job: what its owner calls it.
 * @param {Job} job
 */
export function fileName(job) {
  const words = job.name.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[a-z0-9]+/g) || [];
  return words.join("-").slice(0, 60) || job.id;
}
