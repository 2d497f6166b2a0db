/* How amounts, times, shares and ranges are read from texts, as builder/read/notation.py reads them, and how what
   people type becomes what is written. */

/** @import { Amount } from "../types.js" */
/** @import { AmountText } from "./shapes.js" */

const N = "([0-9]{1,9}(?:\\.[0-9]{1,6})?)";
/** @param {string} pattern */
const whole = (pattern) => new RegExp(`^(?:${pattern})$`);
const NUMBER = whole(N);
const CLOCK = whole(`${N} ?h(?: ?${N} ?min)?(?: ?${N} ?s)?|${N} ?min(?: ?${N} ?s)?|${N} ?s`);
const DAYS = "([0-9]{1,3})";
const ISO_TIME = whole(`P(?=[0-9T])(?:${DAYS}D)?(?:T(?=[0-9])(?:${N}H)?(?:${N}M)?(?:${N}S)?)?`);
const SPAN = whole(`${N} ?(h|hours?|nights?|days?|weeks?)`);
const ISO_SPAN = whole(`P(?=[0-9T])(?:${DAYS}W)?(?:${DAYS}D)?(?:T(?=[0-9])(?:${N}H)?)?`);
const PERCENT = whole("(100(?:\\.0{1,6})?|[0-9]{1,2}(?:\\.[0-9]{1,6})?) ?%");
const RANGE = whole(`below (-?${N})|above (-?${N})|(-?${N}) *- *(-?${N})`);
const UNIT = / ?(?:min|h|s|hours?|nights?|days?|weeks?)$/;

/** @type {Record<string, number>} */
const HOURS = { h: 1, hour: 1, night: 24, day: 24, week: 168 };

/** @typedef {(text: string) => number | null} Reader */

/** @type {Reader} */
const money = (text) => (NUMBER.test(text) ? Number(text) : null);

/** @type {Reader} */
function minutes(text) {
  if (text === "0") return 0;
  const clock = CLOCK.exec(text);
  /** @param {RegExpExecArray} found @param {number} k */
  const n = (found, k) => Number(found[k] || 0);
  if (clock) return n(clock, 1) * 60 + n(clock, 2) + n(clock, 4) + (n(clock, 3) + n(clock, 5) + n(clock, 6)) / 60;
  const iso = ISO_TIME.exec(text);
  return iso && iso.slice(1).some(Boolean) ? n(iso, 1) * 1440 + n(iso, 2) * 60 + n(iso, 3) + n(iso, 4) / 60 : null;
}

/** @type {Reader} */
function hours(text) {
  if (text === "0") return 0;
  const span = SPAN.exec(text);
  if (span) return Number(span[1]) * HOURS[span[2].replace(/s$/, "")];
  const iso = ISO_SPAN.exec(text);
  return iso && iso.slice(1).some(Boolean) ? Number(iso[1] || 0) * 168 + Number(iso[2] || 0) * 24 + Number(iso[3] || 0) : null;
}

/** @type {Record<string, Reader>} */
const READERS = { money, time: minutes, wait: hours };

/**
 * An amount in the library's currency, in minutes (`time`) or in hours (`wait`); null where it is none.
 * @param {string} kind
 * @param {AmountText | undefined} value
 * @returns {Amount | null}
 */
export function amount(kind, value) {
  const read = READERS[kind];
  if (value === undefined) return [0, 0, 0];
  if (typeof value !== "string") {
    const [low, likely, high] = [value.low, value.likely, value.high].map((text) => (text === undefined ? null : read(text.trim())));
    return low === null || likely === null || high === null || low > likely || likely > high ? null : [low, likely, high];
  }
  const text = value.trim();
  const [first, ...others] = text.split("-");
  if (!others.length || !first.trim()) {
    const one = read(text);
    return one === null ? null : [one, one, one];
  }
  const second = others.join("-").trim();
  const high = read(second);
  const low = lowEnd(kind, first.trim(), second, read);
  return low === null || high === null || low > high ? null : [low, (low + high) / 2, high];
}

/**
 * The low end of a range; a bare number takes the unit of the high end.
 * @param {string} kind
 * @param {string} first
 * @param {string} second
 * @param {Reader} read
 */
function lowEnd(kind, first, second, read) {
  if (kind === "money" || !NUMBER.test(first)) return read(first);
  const unit = UNIT.exec(second);
  if (unit && (second.match(/[a-z]+/g) || []).length > 1) return null;
  return read(unit ? first + unit[0] : first);
}

/**
 * A percentage as a share of 1; null where it is none.
 * @param {string | undefined} text
 */
export function percent(text) {
  const found = text === undefined ? null : PERCENT.exec(text.trim());
  return found ? Number(found[1]) / 100 : null;
}

/**
 * A range of a reading; an end that is null is open.
 * @param {string | undefined} text
 * @returns {[low: number | null, high: number | null] | null}
 */
export function range(text) {
  const found = text === undefined ? null : RANGE.exec(text.trim());
  if (!found) return null;
  const [below, above, low, high] = [found[1], found[3], found[5], found[7]].map((end) => (end === undefined ? null : Number(end)));
  if (low !== null && high !== null) return low < high ? [low, high] : null;
  return [above, below];
}

// -- What people type ----------------------------------------------------------------------------------------------

/** What no playbook may hold, as builder/read/source.py says it: controls, marks that turn the direction of writing,
    characters that do not show, tabs. */
const UNWANTED = new RegExp([
  String.raw`[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]`,
  String.raw`[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]`,
  [String.raw`(?<![\u0600-\u0dff\u1000-\u109f\u1780-\u18af\ufb50-\ufdff\ufe70-\ufefc\u2190-\u23ff\u25a0-\u27bf\u2b00-\u2bff`,
    String.raw`\u{1f300}-\u{1faff}\ufe0f])[\u200c\u200d]|[\u200c\u200d](?![\u0600-\u0dff\u1000-\u109f\u1780-\u18af\ufb50-`,
    String.raw`\ufdff\ufe70-\ufefc\u2190-\u23ff\u25a0-\u27bf\u2b00-\u2bff\u{1f300}-\u{1faff}])|(?<![\u2190-\u23ff\u25a0-`,
    String.raw`\u27bf\u2b00-\u2bff\u{1f300}-\u{1faff}])\ufe0f|(?![\u200c\u200d\ufe0f]|[\u0000-\u0008\u000b\u000c\u000e-\u001f`,
    String.raw`\u007f-\u009f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]|[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069])[`,
    String.raw`\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u2800\u3164`,
    String.raw`\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8\u{1bca0}-\u{1bca3}\u{1d173}-\u{1d17a}\u{e0000}-\u{e0fff}]|[\ufff9-`,
    String.raw`\ufffc\ue000-\uf8ff\ufdd0-\ufdef\u{f0000}-\u{10ffff}]`].join(""),
  String.raw`\u0009`,
].join("|"), "gu");

/**
 * A text without what a file may not hold.
 * @param {string} text
 */
export const clean = (text) => text.replace(/\r\n?/g, "\n").replace(UNWANTED, " ").trim();

/** @type {[RegExp, string][]} */
const UNITS = [
  [/(?<![a-z])(?:minutes?|mins?|minuten?)(?![a-z])\.?/gi, "min"],
  [/(?<![a-z])(?:hours?|hrs?|std|stunden?)(?![a-z])\.?/gi, "h"],
  [/(?<![a-z])(?:seconds?|secs?|sek|sekunden?)(?![a-z])\.?/gi, "s"],
];
/** @type {[RegExp, string][]} */
const SPANS = [
  [/(?<![a-z])(?:hrs?|std|stunden?)(?![a-z])\.?/gi, "h"],
  [/(?<=\d ?)(?:nächte|nacht)\b/gi, "nights"],
  [/(?<=\d ?)(?:tage?)\b/gi, "days"],
  [/(?<=\d ?)(?:wochen?)\b/gi, "weeks"],
];

/**
 * Figures as the notation has them: plain blanks, points and hyphens. A comma before three digits may be either.
 * @param {string} text
 */
const plain = (text) => clean(text).replace(/[\s\u00a0\u2000-\u200b\u202f]+/g, " ").replace(/\s*[–—]\s*|(?<=\d\s*)\bto\b\s*|(?<=\d\s*)\bbis\b\s*/g, "-")
  .replace(/(\d),(?!\d{3}(?!\d))(\d)/g, "$1.$2").replace(/ *- */g, "-").trim();

/**
 * What is meant by what somebody typed into a field of a kind, in the notation; the text itself where nobody can know.
 * @param {string} kind
 * @param {string} typed
 */
export function neat(kind, typed) {
  const text = plain(typed);
  if (kind === "percent") return /^\d{1,3}(?:\.\d+)? ?%?$/.test(text) && !(/^0\.\d*[1-9]/.test(text) && !text.endsWith("%")) ? `${text.replace(/ ?%$/, "")}%` : text;
  if (kind === "money") return text.replace(/ ?(?:\p{Sc}|\b[A-Z]{3}\b) ?/gu, "").replace(/[.,]-$/, "");
  if (kind === "time") {
    const known = UNITS.reduce((said, [from, to]) => said.replace(from, to), text);
    const clock = /^(\d{1,2}):(\d{2})(?: ?h)?$/.exec(known) || /^(\d{1,2}) ?h ?(\d{1,2})$/.exec(known);
    if (clock) return Number(clock[1]) ? `${Number(clock[1])} h ${Number(clock[2])} min` : `${Number(clock[2])} min`;
    return /^\d+(?:\.\d+)?(?:-\d+(?:\.\d+)?)?$/.test(known) && known !== "0" ? `${known} min` : known.replace(/(\d)(min|h|s)\b/g, "$1 $2");
  }
  if (kind === "wait") return SPANS.reduce((said, [from, to]) => said.replace(from, to), text);
  return kind === "range" ? text.replace(/^(?:<|under|less than|unter) ?/i, "below ").replace(/^(?:>|over|more than|über) ?/i, "above ") : clean(typed);
}
