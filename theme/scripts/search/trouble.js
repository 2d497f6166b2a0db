/* Trouble codes (SAE J2012, ISO 15031-6): found in what somebody types, what their structure says, which ones are near. */

/** @import { Structure } from "./shapes.js" */

// A letter, perhaps a blank or a hyphen, three or four digits, perhaps the failure type behind them.
const TYPED = /(?<![\p{L}\p{N}])([pcbu])([\s.:#-]{0,2})([0-3oil])[\s-]?([0-9a-foil]{2,3})(?:[-:][0-9a-f]{2})?(?![\p{L}\p{N}])/giu;
// Four digits without their letter, as in "code 0171".
const BARE = /(?<![\p{L}\p{N}.,])(0[0-9][0-9a-f]{2})(?![\p{L}\p{N}])/giu;

/** @param {string} text */
const digits = (text) => text.toUpperCase().replaceAll("O", "0").replace(/[IL]/g, "1");

/**
 * The codes in a text, each once and as the standard writes it, and the text without them. O counts as 0, I and L as 1;
 * a digit too few is a zero that was left out: "P300" is P0300.
 * @param {string} text
 */
export function codesIn(text) {
  /** @type {Set<string>} */
  const codes = new Set();
  const rest = text
    .replace(TYPED, (whole, letter, gap, control, more) => {
      // A word such as "code" has the letters of a code, but no digits; "c 100 km" has too few of them.
      if (!/\d/.test(whole) || (gap && more.length < 3 && !/p/i.test(letter))) return whole;
      codes.add(letter.toUpperCase() + (more.length === 3 ? "" : "0") + digits(control + more));
      return " ";
    })
    .replace(BARE, (_, code) => {
      codes.add(`P${code.toUpperCase()}`);
      return " ";
    });
  return { codes: [...codes], rest };
}

/**
 * What the structure of a code says: its system, who controls it, and its subsystem, which may be empty.
 * @param {string} code
 * @param {Structure} structure
 */
export function structureOf(code, { systems, controls, subsystems }) {
  // P3000 to P33FF belong to manufacturers, P3400 to P3FFF to the standard.
  const control = controls[code.slice(0, 2)] || (code[2] < "4" ? "manufacturer" : "standard");
  return { system: systems[code[0]], control, subsystem: (control === "standard" && subsystems[code.slice(0, 3)]) || "" };
}

/**
 * The codes nearest to one: those that begin with the most of its characters, then by the distance of their numbers.
 * @param {string} code
 * @param {readonly string[]} known
 * @param {number} most
 */
export function nearest(code, known, most) {
  const number = parseInt(code.slice(1), 16);
  return known
    .map((other) => ({ other, alike: alike(code, other), away: Math.abs(parseInt(other.slice(1), 16) - number) }))
    .filter(({ alike }) => alike > 1)
    .sort((a, b) => b.alike - a.alike || a.away - b.away || (a.other < b.other ? -1 : 1))
    .slice(0, most)
    .map(({ other }) => other);
}

/**
 * How many characters two codes share at their beginning.
 * @param {string} one
 * @param {string} other
 */
function alike(one, other) {
  let k = 0;
  while (k < one.length && one[k] === other[k]) k++;
  return k;
}
