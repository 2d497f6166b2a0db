/* Whether something that was kept or imported has the shape of a job: by the schema of job files, which the build puts
   into a module. Knows the words of JSON Schema (2020-12) that this schema is written in. */

/** @import { Job } from "../made/jobschema.js" */
/** @import { Schema } from "../made/jobschema.js" */
import { JOB } from "../made/jobschema.js";

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
 * @returns {boolean}
 */
function fits(schema, value) {
  const { $ref, anyOf, type, pattern, maxLength = Infinity, minimum = -Infinity, minItems = 0, items } = schema;
  const { properties = {}, required = [], additionalProperties: others } = schema;
  if ($ref) return fits(JOB.$defs[$ref.slice("#/$defs/".length)], value);
  if (anyOf) return anyOf.some((one) => fits(one, value));
  if (schema.enum) return schema.enum.includes(value);
  if ("const" in schema) return schema.const === value;
  if (type && !TYPES[type](value)) return false;
  if (typeof value === "string") return [...value].length <= maxLength && (!pattern || new RegExp(pattern, "u").test(value));
  if (typeof value === "number") return value >= minimum;
  if (Array.isArray(value)) return value.length >= minItems && (!items || value.every((one) => fits(items, one)));
  if (!isObject(value)) return true;
  return required.every((name) => Object.hasOwn(value, name)) && Object.entries(value).every(([name, one]) => {
    const named = Object.hasOwn(properties, name) ? properties[name] : others;
    return named !== undefined && fits(named, one);
  });
}

/**
 * @param {unknown} value
 * @returns {value is Job}
 */
export const isJob = (value) => fits(JOB, value);
