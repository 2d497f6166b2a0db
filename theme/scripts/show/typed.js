/* Figures as people type them: with a comma or a point, with blanks, as 1h30. What cannot be read is said, not dropped. */

import { say } from "../site/words.js";

/** @typedef {{value: number} | {why: string}} Read */

/**
 * A plain number, however its decimals and thousands are marked; null where it is none, "two" where it may be two numbers.
 * @param {string} text
 * @returns {number | null | "two"}
 */
function number(text) {
  const bare = text.replace(/[\s\u00a0\u202f'’]/g, "");
  if (!/^[-−]?\d[\d.,]*$/.test(bare)) return null;
  const plain = bare.replace("−", "-");
  const marks = plain.match(/[.,]/g) || [];
  const kinds = new Set(marks);
  if (!marks.length) return Number(plain);
  const tail = plain.slice(Math.max(plain.lastIndexOf("."), plain.lastIndexOf(",")) + 1);
  if (kinds.size === 2) {
    // The last mark is the one of the decimals; the other one stands between thousands.
    const [decimal] = marks.slice(-1);
    const whole = plain.slice(0, -tail.length - 1);
    if (whole.includes(decimal) || !/^-?\d{1,3}([.,]\d{3})+$/.test(whole)) return null;
    return Number(`${whole.replace(/[.,]/g, "")}.${tail || 0}`);
  }
  if (marks.length > 1) return /^-?\d{1,3}([.,]\d{3})+$/.test(plain) ? Number(plain.replace(/[.,]/g, "")) : null;
  if (tail.length === 3 && /^-?[1-9]\d{0,2}[.,]/.test(plain)) return "two";
  return tail ? Number(plain.replace(",", ".")) : null;
}

/**
 * @param {string} text
 * @param {string} example
 * @returns {Read}
 */
function plainly(text, example) {
  const value = number(text);
  if (value === "two") {
    const digits = text.replace(/[^\d]/g, "");
    return { why: say("“{typed}” can be read in two ways. Write {whole}, or the decimals with two digits.", { typed: text, whole: digits }) };
  }
  if (value === null) return { why: say("“{typed}” is not a number. Write it like this: {example}", { typed: text, example }) };
  return { value };
}

/**
 * @param {Read} read
 * @returns {Read}
 */
const notBelow = (read) => ("value" in read && read.value < 0 ? { why: say("This cannot be less than nothing.") } : read);

/**
 * Money, with or without its sign.
 * @param {string} text
 */
export const readMoney = (text) => notBelow(plainly(text.replace(/[€$£¥]|\b[A-Z]{3}\b/g, "").trim(), "12.50"));

/**
 * A time in minutes: 90, 1h30, 1:30, 1.5 h, 1 h 30 min.
 * @param {string} text
 * @returns {Read}
 */
export function readMinutes(text) {
  const bare = text.toLowerCase().replace(/\s+/g, "").replace(/min(utes|uten|\.)?$|m$|'$/, "");
  const clock = /^(\d+)(?:h|:|std\.?|hours?)(\d{1,2})$/.exec(bare);
  if (clock) {
    return Number(clock[2]) < 60
      ? { value: Number(clock[1]) * 60 + Number(clock[2]) }
      : { why: say("“{typed}” is not a time. Write minutes, such as 90, or hours and minutes, such as 1h30.", { typed: text }) };
  }
  const hours = /^([\d.,]+)(?:h|std\.?|hours?)$/.exec(bare);
  const value = number(hours ? hours[1] : bare);
  if (typeof value !== "number") return { why: say("“{typed}” is not a time. Write minutes, such as 90, or hours and minutes, such as 1h30.", { typed: text }) };
  return notBelow({ value: hours ? value * 60 : value });
}

/**
 * Something that was measured, with or without its unit; it may be below nothing.
 * @param {string} text
 * @param {string} unit
 */
export function readMeasured(text, unit) {
  const bare = text.trim();
  return plainly(unit && bare.toLowerCase().endsWith(unit.toLowerCase()) ? bare.slice(0, -unit.length).trim() : bare, "12.4");
}
