/* A playbook while it is filled in: made of a file's tree by the fields of its records, and turned back into it. */

/** @import { Book, EndingText, Field, ResultText, StepText, Tree } from "./shapes.js" */

/** @typedef {Record<string, Field[]>} Records */

/** Names that nobody has chosen yet; they become names when the file is written. */
const UNNAMED = "~";
const RESERVED = ["all", "otherwise", "rest", "unlisted"];

/** @returns {Book} */
export const blank = () => ({
  format: "1",
  symptom: {},
  causes: [{ id: "~1" }, { id: "~2" }],
  start: "~3",
  steps: [{ id: "~3", results: [{ id: "~4" }, { id: "~5", chance: "rest" }] }],
  endings: [],
});

/**
 * @param {Tree} tree
 * @returns {[string, Tree][]}
 */
const pairs = (tree) => (tree instanceof Map ? [...tree] : []);
/** @param {Tree} tree */
const texts = (tree) => (Array.isArray(tree) ? tree.map(String) : []);

/**
 * The value of a field as the form holds it.
 * @param {Field} field
 * @param {Tree} tree
 * @param {Records} records
 * @returns {unknown}
 */
function valueOf(field, tree, records) {
  if (field.kind === "map") return pairs(tree).map(([id, inner]) => ({ id, ...recordOf(field.of, inner, records) }));
  if (field.kind === "record") return recordOf(field.of, tree, records);
  if (field.kind === "answers" || (field.kind === "chance" && tree instanceof Map)) return pairs(tree).map(([key, text]) => [key, String(text)]);
  if (typeof tree === "string") return tree;
  if (Array.isArray(tree)) return texts(tree);
  if (field.kind === "after") return pairs(tree).map(([key, inner]) => [key, texts(inner)]);
  if (field.kind === "parts") return pairs(tree).map(([key, text]) => [key, String(text)]);
  return Object.fromEntries(pairs(tree).map(([key, text]) => [key, String(text)]));
}

/**
 * @param {string} record
 * @param {Tree} tree
 * @param {Records} records
 */
function recordOf(record, tree, records) {
  const fields = new Map(records[record].map((field) => [field.name, field]));
  /** @type {Record<string, unknown>} */
  const made = {};
  for (const [key, value] of pairs(tree)) {
    const field = fields.get(key);
    if (field) made[key] = valueOf(field, value, records);
  }
  return made;
}

/**
 * A playbook of a file's tree.
 * @param {Tree} tree
 * @param {Records} records
 * @returns {Book}
 */
export function bookOf(tree, records) {
  /** @type {Record<string, unknown>} */
  const needed = { format: "1", symptom: {}, causes: [], steps: [], endings: [] };
  const made = recordOf("Playbook", tree, records);
  if (Object.keys(needed).every((key) => key in made)) return /** @type {any} */ (made);
  const whole = { ...needed, ...made };
  const known = records.Playbook.map(({ name }) => name).filter((name) => name in whole);
  return /** @type {any} */ (Object.fromEntries(known.map((name) => [name, whole[name]])));
}

/**
 * The value of a field as a file holds it.
 * @param {Field} field
 * @param {any} value
 * @param {Records} records
 * @returns {Tree}
 */
function treeOfValue(field, value, records) {
  if (field.kind === "map") return new Map(value.map((/** @type {{id: string}} */ one) => [one.id, treeOfRecord(field.of, one, records)]));
  if (field.kind === "record") return treeOfRecord(field.of, value, records);
  if (typeof value === "string") return value;
  if (!Array.isArray(value)) return new Map(Object.entries(value));
  return field.kind === "answers" || field.kind === "chance" || Array.isArray(value[0]) ? new Map(value) : value;
}

/**
 * @param {string} record
 * @param {Record<string, any>} value
 * @param {Records} records
 * @returns {Map<string, Tree>}
 */
function treeOfRecord(record, value, records) {
  const fields = new Map(records[record].map((field) => [field.name, field]));
  /** @type {Map<string, Tree>} */
  const tree = new Map();
  for (const [key, inner] of Object.entries(value)) {
    const field = fields.get(key);
    if (field && inner !== undefined) tree.set(key, treeOfValue(field, inner, records));
  }
  return tree;
}

/**
 * The tree of a playbook's file.
 * @param {Book} book every part of it named
 * @param {Records} records
 */
export function treeOfBook(book, records) {
  const tree = treeOfRecord("Playbook", book, records);
  for (const key of ["causes", "endings"]) {
    const held = tree.get(key);
    if (held instanceof Map && !held.size) tree.delete(key);
  }
  return tree;
}

/**
 * Put a value where its record has it; what is empty is left out.
 * @param {Record<string, any>} owner
 * @param {string} key
 * @param {unknown} value
 * @param {Field[]} fields of the owner's record, in their order
 */
export function put(owner, key, value, fields) {
  const empty = value === "" || value === undefined || value === null || (Array.isArray(value) && !value.length) ||
    (typeof value === "object" && !Object.keys(value).length);
  if (empty) {
    delete owner[key];
    return;
  }
  if (key in owner) {
    owner[key] = value;
    return;
  }
  const order = fields.map(({ name }) => name);
  const later = Object.entries(owner).filter(([other]) => order.indexOf(other) > order.indexOf(key));
  for (const [other] of later) delete owner[other];
  Object.assign(owner, { [key]: value }, Object.fromEntries(later));
}

/**
 * A name for something new that no other part of the playbook has.
 * @param {Book} book
 */
export function unnamed(book) {
  const used = [...book.causes, ...book.steps, ...book.endings, ...book.steps.flatMap(({ results }) => results)]
    .map(({ id }) => (id.startsWith(UNNAMED) ? Number(id.slice(1)) : 0));
  return UNNAMED + (Math.max(0, ...used) + 1);
}

/** The id of the control at a place of the playbook. @param {string} at */
export const idOf = (at) => `at-${at.replace(/~/g, "new").replace(/\./g, "_")}`;

/**
 * Words as a name: small letters, digits and hyphens.
 * @param {string} words
 */
export function slug(words) {
  const plain = words.toLowerCase().replace(/ä/g, "ae").replace(/ö/g, "oe").replace(/ü/g, "ue").replace(/ß/g, "ss");
  const name = plain.normalize("NFKD").replace(/\p{M}/gu, "").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return name.length <= 40 ? name : name.slice(0, 40).replace(/-[^-]*$/, "");
}

/**
 * Names for the new parts of a list, by their words.
 * @param {{id: string}[]} parts
 * @param {(part: any) => string | undefined} words
 * @param {string} otherwise
 * @param {Set<string>} taken
 */
function namesOf(parts, words, otherwise, taken) {
  /** @type {Map<string, string>} */
  const names = new Map();
  for (const part of parts) {
    if (!part.id.startsWith(UNNAMED)) continue;
    const wanted = slug(words(part) || "") || otherwise;
    let name = wanted;
    for (let k = 2; taken.has(name); k++) name = `${wanted}-${k}`;
    taken.add(name);
    names.set(part.id, name);
  }
  return names;
}

/** @param {{id: string}[]} parts */
const given = (parts) => parts.map(({ id }) => id).filter((id) => !id.startsWith(UNNAMED));

/** @typedef {(name: string) => string} Naming */

/**
 * @param {StepText | EndingText} work
 * @param {Naming} name
 * @param {Map<string, Naming>} results
 */
function namedAfter(work, name, results) {
  const { after } = work;
  if (!after) return {};
  const named = after.map((one) => (typeof one === "string" ? name(one)
    : [name(one[0]), one[1].map(results.get(one[0]) || ((result) => result))]));
  return { after: /** @type {typeof after} */ (named) };
}

/**
 * The playbook with a name for everything, and without what an order that is worked out makes idle.
 * @param {Book} book
 * @returns {Book}
 */
export function named(book) {
  const work = [...book.steps, ...book.endings];
  const works = namesOf(work, ({ title }) => title, "step", new Set(given(work)));
  const causes = namesOf(book.causes, (cause) => cause.name, "cause", new Set([...RESERVED, ...given(book.causes)]));
  const results = new Map(book.steps.map((step) => {
    const names = namesOf(step.results, ({ expect }) => expect, "result", new Set(given(step.results)));
    return [step.id, /** @type {Naming} */ ((id) => names.get(id) || id)];
  }));
  /** @type {Naming} */
  const ofWork = (id) => works.get(id) || id;
  /** @type {Naming} */
  const ofCause = (id) => causes.get(id) || id;
  const best = book.order === "best";
  /** @param {ResultText} result @param {StepText} step @returns {ResultText} */
  const ofResult = (result, step) => {
    const { chance, next, ...rest } = result;
    const id = (results.get(step.id) || ofWork)(result.id);
    const made = { ...result, id };
    if (chance && typeof chance !== "string") made.chance = chance.map(([cause, percent]) => [ofCause(cause), percent]);
    if (typeof next === "string") made.next = ofWork(next);
    return best ? { ...rest, id, ...(made.chance ? { chance: made.chance } : {}) } : made;
  };
  const whole = {
    ...book,
    causes: book.causes.map((cause) => ({ ...cause, id: ofCause(cause.id) })),
    steps: book.steps.map((step) => ({
      ...step, ...namedAfter(step, ofWork, results), id: ofWork(step.id),
      results: step.results.map((result) => ofResult(result, step)),
    })),
    endings: book.endings.map((ending) => ({
      ...ending, ...namedAfter(ending, ofWork, results), id: ofWork(ending.id),
      ...(Array.isArray(ending.settles) ? { settles: ending.settles.map(ofCause) } : {}),
    })),
  };
  if (book.start) whole.start = ofWork(book.start);
  if (best) delete whole.start;
  return whole;
}
