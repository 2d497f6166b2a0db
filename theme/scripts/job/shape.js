/* Whether something that was kept or imported has the shape of a job or of a car: by their schemas, which the build puts
   into a module. Knows the words of JSON Schema (2020-12) that these schemas are written in. */

/** @import { Car, Job, Schema } from "../made/jobschema.js" */
import { CAR, JOB } from "../made/jobschema.js";

/**
 * @param {unknown} value
 * @returns {value is Record<string, unknown>}
 */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** @type {Record<string, (value: any) => boolean>} */
const TYPES = {
  object: isObject,
  array: Array.isArray,
  string: (value) => typeof value === "string",
  number: Number.isFinite,
  integer: Number.isInteger,
  boolean: (value) => typeof value === "boolean",
  null: (value) => value === null,
};

/**
 * Whether a value is as a schema says. Where a schema names properties and says nothing of others, there are no others.
 * @param {Schema} schema
 * @param {any} value
 * @param {Record<string, Schema>} defs what the schema refers to
 * @returns {boolean}
 */
function fits(schema, value, defs) {
  const { $ref, anyOf, type, pattern, maxLength = Infinity, minimum = -Infinity, minItems = 0, items } = schema;
  const { properties = {}, required = [], additionalProperties: others } = schema;
  if ($ref) return fits(defs[$ref.slice("#/$defs/".length)], value, defs);
  if (anyOf) return anyOf.some((one) => fits(one, value, defs));
  if (schema.enum) return schema.enum.includes(value);
  if ("const" in schema) return schema.const === value;
  if (type && !TYPES[type](value)) return false;
  if (typeof value === "string") return [...value].length <= maxLength && (!pattern || new RegExp(pattern, "u").test(value));
  if (typeof value === "number") return value >= minimum;
  if (Array.isArray(value)) return value.length >= minItems && (!items || value.every((one) => fits(items, one, defs)));
  if (!isObject(value)) return true;
  return required.every((name) => Object.hasOwn(value, name)) && Object.entries(value).every(([name, one]) => {
    const named = Object.hasOwn(properties, name) ? properties[name] : others;
    return named !== undefined && fits(named, one, defs);
  });
}

/**
 * @param {unknown} value
 * @returns {value is Job}
 */
export const isJob = (value) => fits(JOB, value, JOB.$defs);

/**
 * @param {unknown} value
 * @returns {value is Car}
 */
export const isCar = (value) => fits(CAR, value, CAR.$defs);
