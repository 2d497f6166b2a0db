/* What the owner of the device said of their tools, prices, limits, and of which way they want to go. */

/** @import { Limits, Settings } from "../types.js" */
import * as site from "../site/site.js";
import { readValue, remove, write } from "./disk.js";

/** Hazards that an owner may keep away from. */
export const AVOIDABLE = ["lifting", "timing"];

/**
 * @param {unknown} value
 * @returns {Record<string, unknown>}
 */
const plain = (value) => (typeof value === "object" && value !== null && !Array.isArray(value) ? Object.fromEntries(Object.entries(value)) : {});

/**
 * @param {unknown} value
 * @returns {value is number}
 */
const isFigure = (value) => typeof value === "number" && Number.isFinite(value) && value >= 0;

/**
 * @param {unknown} value
 * @param {number} otherwise
 */
const figure = (value, otherwise) => (isFigure(value) ? value : otherwise);

/** The day on which a limit of hours holds. */
export const today = () => new Date().toDateString();

/**
 * @param {unknown} value
 * @returns {Limits}
 */
function limitsOf(value) {
  const { budget, without, minutes, day } = plain(value);
  const kept = Array.isArray(without) ? AVOIDABLE.filter((hazard) => without.includes(hazard)) : [];
  return {
    ...(isFigure(budget) && { budget }), ...(kept.length && { without: kept }),
    ...(isFigure(minutes) && day === today() && { minutes }),
  };
}

/**
 * The settings; what is damaged or was never said is as the site has it.
 * @returns {Settings}
 */
export function settings() {
  const kept = plain(readValue("settings"));
  /** @type {Settings["tools"]} */
  const tools = {};
  for (const [name, how] of Object.entries(plain(kept.tools))) {
    if (how === "own" || how === "borrow") tools[name] = how;
  }
  /** @type {Record<string, number>} */
  const parts = {};
  for (const [name, price] of Object.entries(plain(kept.parts))) if (isFigure(price)) parts[name] = price;
  const limits = limitsOf(kept.limits);
  return {
    rate: figure(kept.rate, site.rate), hour: figure(kept.hour, site.hour), tools,
    ...(Object.keys(parts).length && { parts }), ...(Object.keys(limits).length && { limits }), ...(kept.way === "best" && { way: "best" }),
  };
}

/** @param {Settings} value */
export const save = (value) => write("settings", value.limits && value.limits.minutes !== undefined
  ? { ...value, limits: { ...value.limits, day: today() } } : value);
export const forget = () => remove("settings");

/** Whether the owner has changed anything that figures rest on. */
export function changed(now = settings()) {
  return now.rate !== site.rate || now.hour !== site.hour || Object.keys(now.tools).length > 0 || Boolean(now.parts);
}
