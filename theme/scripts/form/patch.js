/* Changing a file by what has changed: every line of which nothing has changed stays, with comments and layout. */

/** @import { ListPlace, MapPlace, Origin, Place, Tree } from "./shapes.js" */
import { entries as written, entry, inline, item, scalar } from "./yaml.js";

/**
 * @param {Place} place
 * @returns {place is MapPlace}
 */
const isMap = (place) => place.length === 4;
/**
 * @param {Place} place
 * @returns {place is ListPlace}
 */
const isList = (place) => place.length === 3 && Array.isArray(place[2]);

/**
 * What stands in a file as a tree.
 * @param {string} text
 * @param {Place} place
 * @returns {Tree}
 */
export function treeOf(text, place) {
  if (isMap(place)) return new Map(place[2].map(([key, , node]) => [key, treeOf(text, node)]));
  if (isList(place)) return place[2].map((node) => treeOf(text, node));
  return typeof place[2] === "string" ? place[2] : text.slice(place[0], place[1]);
}

/**
 * Whether two trees say the same, in the same order.
 * @param {Tree} one
 * @param {Tree} other
 * @returns {boolean}
 */
export function same(one, other) {
  if (typeof one === "string" || typeof other === "string") return one === other;
  if (Array.isArray(one)) return Array.isArray(other) && one.length === other.length && one.every((value, k) => same(value, other[k]));
  if (Array.isArray(other) || one.size !== other.size) return false;
  const right = [...other];
  return [...one].every(([key, value], k) => key === right[k][0] && same(value, right[k][1]));
}

/** A file that is being changed. */
class File {
  /** @param {string} text */
  constructor(text) { this.text = text; }

  /** @param {number} at */
  lineStart(at) { return this.text.lastIndexOf("\n", at - 1) + 1; }

  /** Behind the line in which something ends. @param {number} end */
  lineEnd(end) {
    if (end > 0 && this.text[end - 1] === "\n") return end;
    const found = this.text.indexOf("\n", end);
    return found < 0 ? this.text.length : found + 1;
  }

  /** Where the last of it ends; a collection by its last entry. @param {Place} place @returns {number} */
  end(place) {
    const inner = isMap(place) && !place[3] ? place[2].map((one) => one[2]) : isList(place) && !this.inBrackets(place) ? place[2] : [];
    return inner.length ? this.end(inner[inner.length - 1]) : place[1];
  }

  /** @param {ListPlace} place */
  inBrackets(place) { return this.text[place[0]] === "["; }

  /** Where a part ends that begins at a line, comments further in than its indent included. @param {number} from @param {number} to @param {number} indent */
  tail(from, to, indent) {
    let end = from;
    for (let at = from; at < to; at = this.lineEnd(at + 1)) {
      const line = this.text.slice(at, this.lineEnd(at + 1));
      if (line.trim() && line.search(/\S/) > indent) end = this.lineEnd(at + 1);
    }
    return end;
  }

  /** The comments in a part of the file, without what stands between quotes. @param {number} from @param {number} to @param {Place} place */
  comments(from, to, place) {
    /** @type {[number, number][]} */
    const values = [];
    /** @type {(one: Place) => void} */
    const collect = (one) => {
      if (isMap(one)) one[2].forEach(([, , node]) => collect(node));
      else if (isList(one)) one[2].forEach(collect);
      else values.push([one[0], one[1]]);
    };
    collect(place);
    let rest = "", at = from;
    for (const [start, end] of [...values, [to, to]]) {
      rest += `${this.text.slice(at, Math.max(at, start))}_`;
      at = Math.max(at, end);
    }
    return [...rest.matchAll(/(?:^|\s)(#[^\n]*)/g)].map((match) => match[1].replace(/_$/, "").trimEnd());
  }
}

/**
 * A value that stands on a line, with only what has changed put in; null where keys or items have come or gone.
 * @param {File} file
 * @param {Place} place
 * @param {Tree} value
 * @returns {string | null}
 */
function spliced(file, place, value) {
  const { text } = file;
  if (same(treeOf(text, place), value)) return text.slice(place[0], place[1]);
  if (typeof value === "string") return isMap(place) || isList(place) || /^[|>]/.test(text.slice(place[0])) ? null : inline(value);
  /** @type {[Place, Tree][]} */
  const pairs = [];
  if (isMap(place) && !Array.isArray(value)) {
    if (!place[3] || place[2].map(([key]) => key).join() !== [...value.keys()].join()) return null;
    for (const [key, , node] of place[2]) pairs.push([node, value.get(key) || ""]);
  } else if (isList(place) && Array.isArray(value) && file.inBrackets(place) && place[2].length === value.length) {
    place[2].forEach((node, k) => pairs.push([node, value[k]]));
  } else return null;
  let out = "", at = place[0];
  for (const [node, inner] of pairs) {
    const piece = spliced(file, node, inner);
    if (piece === null || node[0] === node[1]) return null;
    out += text.slice(at, node[0]) + piece;
    at = node[1];
  }
  return out + text.slice(at, place[1]);
}

/**
 * @typedef {{key: string, start: number, head: number, end: number, place: Place}} Part an entry or item: where the
 *   comments before it begin, where it begins itself, and where it ends
 */

/**
 * Cuts a block into its parts, each with the comments that stand before it, and the tail that follows the last.
 * @param {File} file
 * @param {[key: string, start: number, node: Place][]} list
 * @param {number} from
 * @param {number} to
 * @param {number} indent
 */
function cut(file, list, from, to, indent) {
  /** @type {Part[]} */
  const parts = [];
  let start = from;
  list.forEach(([key, at, place], k) => {
    const next = k + 1 < list.length ? file.lineStart(list[k + 1][1]) : to;
    const end = file.tail(Math.min(file.lineEnd(file.end(place)), next), next, indent);
    parts.push({ key, start, head: file.lineStart(at), end, place });
    start = end;
  });
  return { parts, tail: file.text.slice(start, to) };
}

/**
 * What stays of the comments before something that is gone: all but those that stand right above it.
 * @param {string} lead
 */
const loose = (lead) => lead.slice(0, lead.lastIndexOf("\n\n") + 1 ? lead.lastIndexOf("\n\n") + 2 : 0);

/**
 * The lines of a mapping.
 * @param {File} file
 * @param {MapPlace} place
 * @param {Map<string, Tree>} value
 * @param {number} from
 * @param {number} to
 * @param {string} holder
 * @returns {string}
 */
function mapping(file, place, value, from, to, holder) {
  const first = place[2][0][1];
  const indent = first - file.lineStart(first);
  const { parts, tail } = cut(file, place[2], from, to, indent);
  const known = new Map(parts.map((part) => [part.key, part]));
  /** @type {Map<string, string>} */
  const gone = new Map();
  let waiting = "";
  for (const part of parts) {
    if (value.has(part.key)) gone.set(part.key, waiting);
    waiting = value.has(part.key) ? "" : waiting + loose(file.text.slice(part.start, part.head));
  }
  const blank = " ".repeat(indent);
  const lines = [...value].map(([key, inner]) => {
    const part = known.get(key);
    if (!part) return entry(key, inner, blank, holder);
    return (gone.get(key) || "") + file.text.slice(part.start, part.head) + changed(file, part, inner, blank, holder);
  });
  return closed(lines) + waiting + tail;
}

/**
 * Lines one after the other, also where the file's last line had no end.
 * @param {string[]} lines
 */
const closed = (lines) => lines.map((text, k) => (text && !text.endsWith("\n") && k + 1 < lines.length ? `${text}\n` : text)).join("");

/**
 * The lines of an entry with its new value.
 * @param {File} file
 * @param {Part} part
 * @param {Tree} value
 * @param {string} blank
 * @param {string} holder
 */
function changed(file, part, value, blank, holder) {
  const { text } = file;
  const { place, head, end } = part;
  if (same(treeOf(text, place), value)) return text.slice(head, end);
  if (isMap(place) && value instanceof Map && !place[3] && place[2].length && value.size) {
    const inner = file.lineEnd(text.indexOf(":", head + blank.length + part.key.length));
    return text.slice(head, inner) + mapping(file, place, value, inner, end, part.key);
  }
  if (isList(place) && Array.isArray(value) && !file.inBrackets(place) && place[2].length && value.length) {
    const inner = file.lineEnd(text.indexOf(":", head + blank.length + part.key.length));
    return text.slice(head, inner) + listing(file, place, value, inner, end);
  }
  const piece = spliced(file, place, value);
  const oneLine = piece !== null && place[0] < place[1] && !(typeof value === "string" && /\n/.test(value));
  if (oneLine) return text.slice(head, place[0]) + (typeof value === "string" ? scalar(value, false) : piece) + text.slice(place[1], end);
  const comments = file.comments(head, end, place).map((comment) => `${blank}${comment}\n`);
  return comments.join("") + entry(part.key, value, blank, holder);
}

/**
 * The lines of a list, of which items stay that it still has.
 * @param {File} file
 * @param {ListPlace} place
 * @param {Tree[]} value
 * @param {number} from
 * @param {number} to
 */
function listing(file, place, value, from, to) {
  const indent = file.text.slice(file.lineStart(place[2][0][0])).search(/\S/);
  const { parts, tail } = cut(file, place[2].map((node, k) => [String(k), node[0], node]), from, to, indent);
  const left = [...parts];
  const lines = value.map((one) => {
    const at = left.findIndex((part) => same(treeOf(file.text, part.place), one));
    if (at < 0) return item(one, " ".repeat(indent));
    const [part] = left.splice(at, 1);
    return file.text.slice(part.start, part.end);
  });
  return closed(lines) + tail;
}

/**
 * The text of a file that now says something else.
 * @param {Origin} origin
 * @param {Map<string, Tree>} value
 */
export function patched({ text, tree }, value) {
  const file = new File(text);
  if (same(treeOf(text, tree), value)) return text;
  if (tree[3] || !tree[2].length) return spliced(file, tree, value) === null ? written(value, "") : text.slice(0, tree[0]) + spliced(file, tree, value) + text.slice(tree[1]);
  return mapping(file, tree, value, 0, text.length, "");
}
