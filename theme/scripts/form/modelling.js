/* A playbook that is being filled in as a model to reckon with, as builder/reckon makes it of records. */

/** @import { Amount, Model, PlaybookNode, Result } from "../types.js" */
/** @import { AmountText, Book, EndingText, FormData, ResultText, StepText, WorkText } from "./shapes.js" */
import { causeName, resultName, workName } from "./naming.js";
import { amount, percent, range } from "./notation.js";

export const UNLISTED = "unlisted";
const NOTHING = 1e-9;

/**
 * The steps with what their common checks say; their own words go first.
 * @param {StepText} step
 * @param {FormData} data
 * @returns {StepText}
 */
export function completed(step, { checks }) {
  const check = step.check !== undefined && Object.hasOwn(checks, step.check) ? checks[step.check] : null;
  if (!check) return step;
  const { about, results = {}, accept, no_hazards: answers = {}, parts, after, ...said } = /** @type {any} */ (check);
  if (parts) said.parts = Array.isArray(parts) ? parts : Object.entries(parts);
  if (after) said.after = Array.isArray(after) ? after : Object.entries(after);
  const denied = [...new Map([...Object.entries(answers), ...(step.no_hazards || [])])];
  /** @param {ResultText} result */
  const told = (result) => ({ ...(Object.hasOwn(results, result.id) ? results[result.id] : {}), ...result });
  return { ...said, ...step, ...(denied.length ? { no_hazards: denied } : {}), results: step.results.map(told) };
}

/**
 * A playbook whose steps say what their common checks say.
 * @param {Book} book
 * @param {FormData} data
 * @returns {Book}
 */
export const wholeBook = (book, data) => ({ ...book, steps: book.steps.map((step) => completed(step, data)) });

/**
 * Shares of the causes and of what is not listed; null where one has none.
 * @param {Book} book
 */
export function sharesOf({ causes }) {
  const shares = causes.map(({ share }) => percent(share));
  if (!causes.length || shares.includes(null)) return null;
  const known = shares.map(Number);
  return [...known, Math.max(0, 1 - known.reduce((sum, share) => sum + share, 0))];
}

/**
 * Chance of each result of a step under each cause, `unlisted` last; null where one is not said.
 * @param {StepText} step
 * @param {string[]} causes
 */
export function chancesOf({ results }, causes) {
  if (results.length === 1 && results[0].chance === undefined) return [causes.map(() => 1)];
  const given = results.map(({ chance }) => (chance === undefined || chance === "rest" ? chance
    : causes.map((cause) => percent(percentOf(chance, cause)))));
  if (given.includes(undefined) || given.some((row) => Array.isArray(row) && row.includes(null))) return null;
  const rows = /** @type {(number[] | "rest")[]} */ (given);
  return rows.map((row) => (row !== "rest" ? row
    : causes.map((_, c) => Math.max(0, 1 - rows.reduce((sum, other) => sum + (other === "rest" ? 0 : other[c]), 0)))));
}

/**
 * What a chance says of a cause, by name or with all others.
 * @param {string | [string, string][]} chance
 * @param {string} cause
 */
export function percentOf(chance, cause) {
  if (typeof chance === "string") return chance;
  const known = new Map(chance);
  return known.get(cause) ?? known.get("otherwise");
}

/** @param {string} kind @param {AmountText | undefined} value @returns {Amount} */
const sure = (kind, value) => amount(kind, value) || [0, 0, 0];

/**
 * Parts with their numbers.
 * @param {WorkText["parts"]} parts
 */
export function countsOf(parts = []) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const one of parts) {
    const [part, count] = typeof one === "string" ? [one, "1"] : one;
    counts.set(part, (counts.get(part) || 0) + (Number(count) || 0));
  }
  return counts;
}

/**
 * Hazards of a step or an ending, those of what it needs included.
 * @param {WorkText} work
 * @param {FormData} data
 */
export function hazardsOf(work, data) {
  const carried = [
    ...(work.tools || []).flatMap((tool) => (Object.hasOwn(data.tools, tool) ? data.tools[tool].hazards : [])),
    ...(work.access || []).flatMap((job) => (Object.hasOwn(data.access, job) ? data.access[job].hazards : [])),
  ];
  return [...new Set([...(work.hazards || []), ...carried])];
}

/**
 * Steps and endings from the start, each after all that leads to it, else in the order of the file; null where the way
 * is not whole or goes round.
 * @param {Book} book
 */
export function inOrder(book) {
  const keys = [...book.steps, ...book.endings].map(({ id }) => id);
  const steps = new Map(book.steps.map((step) => [step.id, step]));
  /** @type {string[]} */
  const others = [];
  /** @param {string} id */
  const after = (id) => (steps.get(id)?.results || []).map(({ next }) => (typeof next === "object" ? `>${next.playbook}` : next));
  const { start } = book;
  if (start === undefined || !steps.has(start)) return null;
  /** @type {Map<string, number>} */
  const reached = new Map([[start, 0]]);
  const waiting = [start];
  for (const id of waiting) {
    for (const target of after(id)) {
      if (target === undefined || !(target.startsWith(">") || keys.includes(target))) return null;
      if (!reached.has(target)) waiting.push(target);
      if (target.startsWith(">") && !others.includes(target)) others.push(target);
      reached.set(target, (reached.get(target) || 0) + 1);
    }
  }
  const rank = [...keys, ...others.sort()];
  const ready = [start];
  /** @type {string[]} */
  const order = [];
  while (ready.length) {
    ready.sort((one, other) => rank.indexOf(one) - rank.indexOf(other));
    const id = String(ready.shift());
    order.push(id);
    for (const target of after(id)) {
      const left = (reached.get(String(target)) || 0) - 1;
      reached.set(String(target), left);
      if (!left) ready.push(String(target));
    }
  }
  return order.length === reached.size ? order : null;
}

/**
 * @param {StepText | EndingText} work
 * @param {FormData} data
 */
function common(work, data) {
  const { mishap } = work;
  return {
    name: work.id, title: work.title || "", number: null, banner: [], hazards: hazardsOf(work, data), html: "", hash: "",
    was: [], after: {},
    mishap: mishap ? { what: mishap.what || "", chance: percent(mishap.chance) || 0, cost: sure("money", mishap.cost) } : null,
    cost: sure("money", work.cost), time: sure("time", work.time), wait: sure("wait", work.wait), shop: work.who === "shop",
    tools: [...new Set(work.tools)].filter((tool) => Object.hasOwn(data.tools, tool)),
    parts: Object.fromEntries([...countsOf(work.parts)].filter(([part]) => Object.hasOwn(data.parts, part))),
    access: [...new Set(work.access)].filter((job) => Object.hasOwn(data.access, job)),
  };
}

/**
 * The model of a playbook; null while nobody can go through it. Without shares or chances it has no odds.
 * @param {Book} book
 * @param {FormData} data
 * @returns {Model | null}
 */
export function modelOf(book, data) {
  const whole = wholeBook(book, data);
  const order = inOrder(book);
  if (!order) return null;
  const prior = sharesOf(book);
  const causes = [...book.causes.map(({ id }) => id), UNLISTED];
  const steps = new Map(whole.steps.map((step) => [step.id, step]));
  const rows = new Map([...steps].map(([id, step]) => [id, prior && chancesOf(step, causes)]));
  const odds = Boolean(prior) && order.every((id) => !steps.has(id) || rows.get(id)) && Number(prior && prior.reduce((a, b) => a + b, 0)) < 1 + NOTHING;
  const nodes = order.map((id) => nodeOf(id, { order, steps, rows, odds, causes, book: whole, data }));
  /** @param {"diagnosis" | "unlisted"} key @param {string} kind */
  const own = (key, kind) => (book.professional && book.professional[key] !== undefined ? amount(kind, book.professional[key]) : null);
  return {
    slug: "", title: book.title || "", summary: "", was: [], vehicles: [], codes: [], shows: [], preconditions: [], hash: "",
    causes: odds ? [...book.causes.map(({ id }) => /** @type {[string, string]} */ ([id, causeName(book, id)])), [UNLISTED, ""]] : null,
    prior: odds ? prior : null,
    nodes,
    listed: { steps: placesOf(whole.steps, order), endings: placesOf(whole.endings, order) },
    avoid_danger: data.danger,
    professional: {
      diagnosis: own("diagnosis", "time") || data.professional.diagnosis,
      unlisted: own("unlisted", "money") || data.professional.unlisted,
    },
    hazards: /** @type {any} */ (data.hazards), tools: data.tools, parts: data.parts, access: data.access,
  };
}

/**
 * The numbers of those that are reached, in the order of the file.
 * @param {{id: string}[]} works
 * @param {string[]} order
 */
const placesOf = (works, order) => works.map(({ id }) => order.indexOf(id)).filter((place) => place >= 0);

/**
 * @param {string} id
 * @param {{order: string[], steps: Map<string, StepText>, rows: Map<string, number[][] | null>, odds: boolean, causes: string[],
 *   book: Book, data: FormData}} around
 * @returns {PlaybookNode}
 */
function nodeOf(id, { order, steps, rows, odds, causes, book, data }) {
  const step = steps.get(id), ending = book.endings.find((one) => one.id === id);
  if (step) {
    const chances = odds ? rows.get(id) : null;
    /** @type {Result[]} */
    const results = step.results.map((result, k) => ({
      name: result.id, expect: resultName(step, result.id), html: "", was: [], range: range(result.range),
      to: order.indexOf(typeof result.next === "object" ? `>${result.next.playbook}` : String(result.next)),
      chance: chances ? chances[k] : null,
    }));
    return { kind: "step", ...common(step, data), title: workName(book, id), check: step.check || null, car: false, reading: null, results };
  }
  if (ending) {
    const { settles = [] } = ending;
    /** @param {string} cause */
    const right = (cause) => settles === "all" || settles.includes("all") || settles.includes(cause);
    return { kind: "ending", ...common(ending, data), title: workName(book, id), rights: odds ? causes.map(right) : null, repairs: settles.length > 0, prove: null };
  }
  const name = id.slice(1);
  const { cost, time, wait, shop, tools, parts, access } = common({ id }, data);
  return { kind: "handover", name, title: data.playbooks[name]?.title || name, cost, time, wait, shop, tools, parts, access };
}
