/* Small helpers for building pages in the browser. */

/** @typedef {string | number | boolean | null | undefined | ((event: any) => void)} Attribute */
/** @typedef {Node | string | null | undefined | false} Child */

/**
 * An element; text stays text. `on…` attributes are listeners, `false` and `null` leave an attribute or a child out.
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, Attribute>} [attributes]
 * @param {...(Child | Child[] | Child[][])} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children.flat(2)) if (child) element.append(child);
  return element;
}

/**
 * Every element of a kind that a selector finds.
 * @template {Element} Kind
 * @param {new () => Kind} kind
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {Kind[]}
 */
export function all(kind, selector, within = document) {
  /**
   * @param {Element} element
   * @returns {element is Kind}
   */
  const is = (element) => element instanceof kind;
  return [...within.querySelectorAll(selector)].filter(is);
}

/**
 * The element that a template is known to hold.
 * @template {Element} Kind
 * @param {new () => Kind} kind
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {Kind}
 */
export function one(kind, selector, within = document) {
  const [found] = all(kind, selector, within);
  if (!found) throw new Error(`the page has no ${selector}`);
  return found;
}

/**
 * Write a text where it is another one, so that nothing is announced again.
 * @param {Element} element
 * @param {string} text
 */
export function put(element, text) {
  if (element.textContent !== text) element.textContent = text;
}
