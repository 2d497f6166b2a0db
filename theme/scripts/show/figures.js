/* Figures as people read them, by the site's locale; the same rounding as builder/draw/figures.py. */

import { currency, lang } from "../site/site.js";

const whole = new Intl.NumberFormat(lang, { style: "currency", currency, maximumFractionDigits: 0, minimumFractionDigits: 0 });
const exact = new Intl.NumberFormat(lang, { style: "currency", currency, roundingMode: "halfEven" });
const percent = new Intl.NumberFormat(lang, { style: "percent", maximumFractionDigits: 0 });
const tenths = new Intl.NumberFormat(lang, { maximumFractionDigits: 1 });
const plain = new Intl.NumberFormat(lang, { maximumFractionDigits: 0 });

/**
 * Rounded as Python rounds: a half goes to the even neighbour.
 * @param {number} number
 */
function round(number) {
  const below = Math.floor(number);
  return (number - below === 0.5 ? below + (below % 2 ? 1 : 0) : Math.round(number)) + 0;
}

/**
 * Rounded to cents; only eighths can lie exactly in the middle of two.
 * @param {number} amount
 */
const cents = (amount) => (Number.isInteger(amount * 8) ? round(amount * 100) / 100 : Number(amount.toFixed(2)) + 0);

/**
 * Money to pay: whole from 20 on.
 * @param {number} amount
 */
export function money(amount) {
  const figure = amount < 20 ? cents(amount) : round(amount);
  return Number.isInteger(figure) ? whole.format(figure) : exact.format(figure);
}

/**
 * Money to reckon with: two digits.
 * @param {number} amount
 */
export function about(amount) {
  const digits = String(Math.trunc(Math.abs(amount))).length;
  const step = 10 ** Math.max(0, digits - 2);
  return whole.format(round(amount / step) * step);
}

/**
 * A time, to five minutes from an hour on.
 * @param {number} time in minutes
 */
export function minutes(time) {
  if (time < 59.5) return `${plain.format(round(time) || (time > 0 ? 1 : 0))} min`;
  const fives = round(time / 5) * 5;
  if (time >= 600 || fives % 60 === 0) return `${plain.format(round(time / 60))} h`;
  return `${Math.floor(fives / 60)} h ${fives % 60} min`;
}

/**
 * A share in percent; nothing and all only where it is so.
 * @param {number} part
 */
export function share(part) {
  const full = round(part * 100);
  if (full === 0 && part > 0) return `< ${percent.format(0.01)}`;
  if (full === 100 && part < 1 - 1e-9) return `> ${percent.format(0.99)}`;
  return percent.format(full / 100);
}

/**
 * Bytes in megabytes of a million, to a tenth.
 * @param {number} count
 */
export const bytes = (count) => `${tenths.format(Math.max(1, Math.round(count / 1e5)) / 10)} MB`;

/**
 * @param {number} low
 * @param {number} high
 * @param {(figure: number) => string} write
 */
export const range = (low, high, write) => (write(low) === write(high) ? write(low) : `${write(low)} – ${write(high)}`);

/**
 * A day; a dash where a file that was tampered with has no date.
 * @param {string} text
 */
export function date(text) {
  const day = new Date(text);
  return Number.isNaN(day.getTime()) ? "–" : new Intl.DateTimeFormat(lang, { dateStyle: "medium" }).format(day);
}

/**
 * A day with its weekday and time, as one plans by it.
 * @param {string} text
 */
export function day(text) {
  const at = new Date(text);
  return Number.isNaN(at.getTime()) ? "–" : new Intl.DateTimeFormat(lang, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" }).format(at);
}
