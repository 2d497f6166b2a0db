/* What the owner of the device said of their tools, prices and units. */

/** @import { Settings } from "../types.js" */
import * as site from "../site/site.js";
import { readValue, remove, write } from "./disk.js";

/** @typedef {"si" | "us"} System */

/** @type {System[]} */
const SYSTEMS = ["si", "us"];

/**
 * @param {unknown} value
 * @returns {value is Record<string, unknown>}
 */
const plain = (value) => Boolean(value) && typeof value === "object" && !Array.isArray(value);

/**
 * @param {unknown} value
 * @param {number} otherwise
 */
const figure = (value, otherwise) => (typeof value === "number" && Number.isFinite(value) && value >= 0 ? value : otherwise);

/**
 * The settings; what is damaged or was never said is as the site has it.
 * @returns {Settings}
 */
export function settings() {
  const value = readValue("settings");
  const kept = plain(value) ? value : {};
  /** @type {Settings["tools"]} */
  const tools = {};
  for (const [name, how] of Object.entries(plain(kept.tools) ? kept.tools : {})) {
    if (how === "own" || how === "borrow") tools[name] = how;
  }
  return { rate: figure(kept.rate, site.rate), hour: figure(kept.hour, site.hour), tools };
}

/** @param {Settings} value */
export const save = (value) => write("settings", value);
export const forget = () => remove("settings");

/** Whether the owner has changed anything that figures rest on. */
export function changed(now = settings()) {
  return now.rate !== site.rate || now.hour !== site.hour || Object.keys(now.tools).length > 0;
}

/** The system of units that the owner wants first, if they have said so. */
export const units = () => SYSTEMS.find((system) => readValue("units") === system) || null;
/** @param {string} system */
export const saveUnits = (system) => write("units", system);
export const forgetUnits = () => remove("units");
