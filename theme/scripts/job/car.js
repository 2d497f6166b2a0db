/* The profile of a car: its name, what it is, and what is known of the car itself. */

/** @import { Car, Job, Seen } from "../made/jobschema.js" */
import { newId } from "./job.js";

/**
 * @param {string} name
 * @returns {Car}
 */
export const newCar = (name) => ({ droplight: "car", version: 1, id: newId(), name: name.slice(0, 200), engine: "", mileage: "", facts: [] });

/**
 * How a job names its car.
 * @param {Car} car
 * @returns {Job["car"]}
 */
export const carOf = ({ id, name }) => ({ id, name });

/**
 * Keep what was seen at a check about the car itself.
 * @param {Car} car
 * @param {Seen} seen
 */
export function learn(car, { check = "", result, expect, at }) {
  car.facts = [...car.facts.filter((one) => one.check !== check), { check, result, expect, at }];
}
