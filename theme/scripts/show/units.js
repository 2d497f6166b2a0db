/* Which of the two systems of units stands first in a quantity, as the owner of this device likes it. */

import { units } from "../device/system.js";
import { unitsFirst } from "../site/site.js";
import { all } from "./dom.js";

export const first = () => units() || unitsFirst;

/**
 * Within an element, the wanted figure of each quantity goes first and the other one in brackets.
 * @param {ParentNode} within
 */
export function order(within) {
  for (const quantity of all(HTMLElement, ".quantity", within)) {
    const [one, other] = quantity.children;
    if (!one.classList.contains(first())) quantity.replaceChildren(other, " (", one, ")");
  }
}

/**
 * A piece of a page that the build wrote and escaped.
 * @param {string} html
 * @param {keyof HTMLElementTagNameMap} [tag]
 */
export function built(html, tag = "div") {
  const box = document.createElement(tag);
  box.innerHTML = html;
  order(box);
  return box;
}
