/* Jobs and cars that are kept on the device. Damaged ones are set aside and harm nothing else. */

/** @import { Car, Job } from "../made/jobschema.js" */
import { asJob } from "../job/migrate.js";
import { isCar } from "../job/shape.js";
import { names, read, readValue, remove, write } from "./disk.js";

const KIND = "job:";
const CARS = "car:";

/** Jobs, the newest first, and what is left of those that cannot be read. */
export function jobs() {
  /** @type {Job[]} */
  const sound = [];
  /** @type {{name: string, text: string | null}[]} */
  const damaged = [];
  for (const name of names()) {
    if (!name.startsWith(KIND)) continue;
    const job = asJob(readValue(name));
    if (job && KIND + job.id === name) sound.push(job);
    else damaged.push({ name, text: read(name) });
  }
  sound.sort((a, b) => String(b.updated).localeCompare(String(a.updated)));
  return { sound, damaged };
}

/** Jobs that somebody is still at. */
export const openJobs = () => jobs().sound.filter(({ state }) => state === "open" || state === "proving");

/** @param {string} id */
export function job(id) {
  const found = asJob(readValue(KIND + id));
  return found && found.id === id ? found : null;
}

/**
 * Keep a job; it grows by one revision. Whether the disk has taken it.
 * @param {Job} value
 */
export function saveJob(value) {
  value.revision += 1;
  value.updated = new Date().toISOString();
  return write(KIND + value.id, value);
}

/** @param {Job} value */
export const removeJob = (value) => remove(KIND + value.id);

/** Cars, by their names. */
export const cars = () => names().filter((name) => name.startsWith(CARS)).map(readValue).filter(isCar)
  .sort((a, b) => a.name.localeCompare(b.name));

/** @param {string} id */
export function car(id) {
  const value = readValue(CARS + id);
  return isCar(value) ? value : null;
}

/** @param {Car} value */
export const saveCar = (value) => write(CARS + value.id, value);

/** @param {Car} value */
export const removeCar = (value) => remove(CARS + value.id);

/** The name of a job among what is kept. @param {string} id */
export const jobEntry = (id) => KIND + id;

export { remove as removeEntry };
