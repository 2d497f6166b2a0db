/* Jobs that are kept on the device. Damaged ones are set aside and harm nothing else. */

/** @import { Job } from "../made/jobschema.js" */
import { isJob } from "../job/shape.js";
import { names, read, readValue, remove, write } from "./disk.js";

const KIND = "job:";

/** Jobs, the newest first, and what is left of those that cannot be read. */
export function jobs() {
  /** @type {Job[]} */
  const sound = [];
  /** @type {{name: string, text: string | null}[]} */
  const damaged = [];
  for (const name of names()) {
    if (!name.startsWith(KIND)) continue;
    const job = readValue(name);
    if (isJob(job) && KIND + job.id === name) sound.push(job);
    else damaged.push({ name, text: read(name) });
  }
  sound.sort((a, b) => String(b.updated).localeCompare(String(a.updated)));
  return { sound, damaged };
}

/** Jobs that are not done. */
export const openJobs = () => jobs().sound.filter((job) => job.state !== "done");

/** @param {string} id */
export const job = (id) => jobs().sound.find((one) => one.id === id) || null;

/** @param {Job} value */
export const saveJob = (value) => write(KIND + value.id, { ...value, updated: new Date().toISOString() });

/** @param {Job} value */
export const removeJob = (value) => remove(KIND + value.id);

export { remove as removeEntry };
