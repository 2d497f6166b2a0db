/* Which system of units the owner of the device wants first. */

import { readValue, remove, write } from "./disk.js";

/** @typedef {"si" | "us"} System */

/** @type {System[]} */
const SYSTEMS = ["si", "us"];

/** The system of units that the owner wants first, if they have said so. */
export const units = () => SYSTEMS.find((system) => readValue("units") === system) || null;
/** @param {string} system */
export const saveUnits = (system) => write("units", system);
export const forgetUnits = () => remove("units");
