/* Drafts that are kept on the device; nothing leaves it until somebody hands it in. */

/** @import { Draft } from "./shapes.js" */
import { names, readValue, remove, write } from "../device/disk.js";

const KIND = "draft:";

/**
 * @param {any} value
 * @returns {value is Draft}
 */
const isDraft = (value) => Boolean(value) && typeof value === "object" && typeof value.key === "string" && typeof value.area === "string" &&
  (value.slug === null || typeof value.slug === "string") && typeof value.book === "object" && value.book !== null &&
  ["causes", "steps", "endings"].every((part) => Array.isArray(value.book[part]) && value.book[part].every((/** @type {any} */ one) => one && typeof one.id === "string")) &&
  value.book.steps.every((/** @type {any} */ step) => Array.isArray(step.results)) && typeof value.book.symptom === "object";

/** All drafts, the newest first. */
export const drafts = () => names().filter((name) => name.startsWith(KIND)).map(readValue).filter(isDraft)
  .sort((one, other) => String(other.saved).localeCompare(String(one.saved)));

/** @param {string} key */
export const draft = (key) => drafts().find((one) => one.key === key) || null;

/**
 * Keep a draft; whether the disk has taken it.
 * @param {Draft} value
 */
export function keepDraft(value) {
  value.saved = new Date().toISOString();
  return write(KIND + value.key, value);
}

/** @param {string} key */
export const removeDraft = (key) => remove(KIND + key);

/**
 * Tells when another tab keeps the same draft.
 * @param {string} key
 * @param {() => void} told
 */
export const onOtherTab = (key, told) => addEventListener("storage", (event) => {
  if (event.key && event.key.endsWith(`:${KIND}${key}`) && event.newValue) told();
});
