/* Writing YAML: strict enough that any reader takes every value for the text that it is. */

/** @import { Tree } from "./shapes.js" */

const WIDEST = 110;

/** Parts of a playbook that are easier to read, and to compare, with a line for each of their keys. */
const OPEN = new Set(["steps", "endings", "results"]);
const OPEN_ITSELF = new Set(["symptom", "causes", "steps", "endings", "results"]);

/** Texts that need no quotes: letters or digits first, then nothing that has a meaning of its own. */
const BARE = /^[\p{L}\p{N}(][\p{L}\p{M}\p{N} .,;:'’‘“”()/%+°·×€$£=<>?!&*"…–—_-]*$/u;
const MEANT = /: |:$| #| {2}|\s$|^null$/i;
const MEANT_IN_BRACES = /[,:?[\]{}#]/;

/**
 * A text on one line.
 * @param {string} text
 * @param {boolean} inBraces
 */
export function scalar(text, inBraces) {
  return BARE.test(text) && !MEANT.test(text) && !(inBraces && MEANT_IN_BRACES.test(text)) ? text : JSON.stringify(text);
}

/**
 * A key; one that other readers might take for a number is put in quotes.
 * @param {string} key
 */
export const keyText = (key) => (/^(?:[a-z]|[0-9].*[g-np-wyz])[a-z0-9_-]*$/.test(key) && !MEANT.test(key) ? key : JSON.stringify(key));

/**
 * Whether a text can stand as a block of lines.
 * @param {string} text
 */
const isBlock = (text) => /[^\n]\n/.test(text) && /^[^\s]/.test(text) && !/\n\n$/.test(text);

/**
 * A value on one line; null where it has no place there.
 * @param {Tree} value
 * @returns {string | null}
 */
export function inline(value) {
  if (typeof value === "string") return isBlock(value) ? null : scalar(value, true);
  const parts = Array.isArray(value) ? value.map(inline)
    : [...value].map(([key, inner]) => { const text = inline(inner); return text === null ? null : `${keyText(key)}: ${text}`; });
  if (parts.includes(null)) return null;
  return Array.isArray(value) ? `[${parts.join(", ")}]` : `{${parts.join(", ")}}`;
}

/** @param {Tree} value */
const depth = (value) => {
  /** @type {(inner: Tree) => number} */
  const of = (inner) => {
    if (typeof inner === "string") return 0;
    return 1 + Math.max(0, ...(Array.isArray(inner) ? inner : [...inner.values()]).map(of));
  };
  return of(value);
};

/**
 * An entry of a mapping as lines, each with its end.
 * @param {string} key
 * @param {Tree} value
 * @param {string} indent
 * @param {string} [holder] the key of the mapping that the entry stands in
 * @returns {string}
 */
export function entry(key, value, indent, holder = "") {
  const name = `${indent}${keyText(key)}:`;
  const inner = `${indent}  `;
  if (typeof value === "string") {
    if (!isBlock(value)) return `${name} ${scalar(value, false)}\n`;
    const mark = value.endsWith("\n") ? "|" : "|-";
    const lines = value.replace(/\n$/, "").split("\n").map((line) => (line ? inner + line : ""));
    return `${name} ${mark}\n${lines.join("\n")}\n`;
  }
  const short = inline(value);
  const small = Array.isArray(value) || depth(value) === 1 || value.size === 0;
  if (short !== null && small && name.length + short.length < WIDEST && !OPEN.has(holder) && !(OPEN_ITSELF.has(key) && holder === "" && short.length > 2)) {
    return `${name} ${short}\n`;
  }
  if (Array.isArray(value)) return value.length ? `${name}\n${value.map((one) => item(one, inner)).join("")}` : `${name} []\n`;
  return value.size ? `${name}\n${entries(value, inner, key)}` : `${name} {}\n`;
}

/**
 * An item of a list as a line.
 * @param {Tree} value
 * @param {string} indent
 */
export const item = (value, indent) => `${indent}- ${typeof value === "string" ? scalar(value, false) : inline(value)}\n`;

/**
 * A mapping as lines.
 * @param {Map<string, Tree>} mapping
 * @param {string} indent
 * @param {string} [holder]
 */
export const entries = (mapping, indent, holder = "") => [...mapping].map(([key, value]) => entry(key, value, indent, holder)).join("");
