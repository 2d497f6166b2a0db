/* Finds documents by prefixes and small typing errors. */

/** @typedef {{kind: string, title: string, page: string, note: string}} Doc */
/** @typedef {{docs: Doc[], postings: Map<string, number[]>, known: string[]}} Found */
/**
 * What the build lists (builder/publish/data/search.py).
 * @typedef {object} Listed
 * @property {[slug: string, title: string, summary: string, shown: string[], steps: string[]][]} books
 * @property {[id: string, name: string][]} causes
 * @property {string[]} codes
 * @property {[id: string, name: string][]} parts
 * @property {[id: string, name: string][]} tools
 */

/**
 * @param {string} text
 * @returns {string[]}
 */
const words = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[\p{L}\p{N}]+/gu) || [];

/**
 * Documents and their words, from what the build listed.
 * @param {Listed} listed
 * @returns {Found}
 */
export function index({ books, causes, codes, parts, tools }) {
  /** @type {Doc[]} */
  const docs = [];
  /** @type {Map<string, number[]>} */
  const postings = new Map();
  /** @type {(kind: string, title: string, page: string, note: string, more?: string) => void} */
  const add = (kind, title, page, note, more = "") => {
    const id = docs.push({ kind, title, page, note }) - 1;
    const own = new Set(words(title));
    for (const word of own) note_(word, id, 2);
    for (const word of new Set(words(more))) if (!own.has(word)) note_(word, id, 1);
  };
  /** @type {(word: string, id: number, weight: number) => void} */
  const note_ = (word, id, weight) => {
    const list = postings.get(word);
    if (list) list.push(id, weight);
    else postings.set(word, [id, weight]);
  };
  for (const [slug, title, summary, shown, steps] of books) {
    add("symptom", title, `playbook/${slug}.html`, summary, `${summary} ${shown.join(" ")}`);
    steps.forEach((step, k) => add("step", step, `playbook/${slug}.html#n${k + 1}`, title));
  }
  codes.forEach((code) => add("code", code, `code/${code}.html`, ""));
  causes.forEach(([id, name]) => add("cause", name, `cause/${id}.html`, ""));
  parts.forEach(([id, name]) => add("part", name, `part/${id}.html`, ""));
  tools.forEach(([id, name]) => add("tool", name, `tool/${id}.html`, ""));
  return { docs, postings, known: [...postings.keys()].sort() };
}

/**
 * Whether two words are at most `most` changes apart (insert, delete, replace, swap two neighbours).
 * @param {string} a
 * @param {string} b
 * @param {number} most
 */
function near(a, b, most) {
  if (Math.abs(a.length - b.length) > most) return false;
  /** @type {number[]} */
  let before = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) next[j] = Math.min(next[j], before[j - 2] + 1);
      least = Math.min(least, next[j]);
    }
    if (least > most) return false;
    [before, row] = [row, next];
  }
  return row[b.length] <= most;
}

/**
 * Known words that a typed word may mean, with how well each fits.
 * @param {Found} found
 * @param {string} typed
 */
function meanings(found, typed) {
  const fits = new Map();
  let low = 0, high = found.known.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (found.known[middle] < typed) low = middle + 1;
    else high = middle;
  }
  for (; low < found.known.length && found.known[low].startsWith(typed); low++) {
    fits.set(found.known[low], found.known[low] === typed ? 4 : 3);
  }
  const most = typed.length < 4 ? 0 : typed.length < 8 ? 1 : 2;
  if (most && ![...fits.values()].includes(4)) {
    for (const word of found.known) {
      if (!fits.has(word) && (near(typed, word, most) || (word.length > typed.length && near(typed, word.slice(0, typed.length), most)))) fits.set(word, 1);
    }
  }
  return fits;
}

/**
 * Documents that hold every typed word, best first.
 * @param {Found} found
 * @param {string} query
 */
export function find(found, query) {
  /** @type {Map<number, number> | null} */
  let scores = null;
  for (const typed of words(query)) {
    const here = new Map();
    for (const [word, fit] of meanings(found, typed)) {
      const list = found.postings.get(word) || [];
      for (let k = 0; k < list.length; k += 2) {
        const score = fit * list[k + 1] * (1 + 1 / list.length);
        if (score > (here.get(list[k]) ?? 0)) here.set(list[k], score);
      }
    }
    if (scores) {
      for (const [id, score] of scores) {
        const more = here.get(id);
        if (more) scores.set(id, score + more);
        else scores.delete(id);
      }
    } else scores = here;
  }
  return [...(scores || [])].sort((a, b) => b[1] - a[1] || a[0] - b[0]).map(([id]) => found.docs[id]);
}
