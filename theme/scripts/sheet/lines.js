/* The list of all paths, a line each: every line becomes a link to its sheet, with the money by the owner's own prices. */

/** @import { Model, Settings } from "../types.js" */
import { h } from "../show/dom.js";
import { money } from "../show/figures.js";
import { root } from "../site/site.js";
import { costs, course } from "./course.js";

/**
 * The names of results that a code such as `1a 2c` stands for: the number of a step with the letter of its result.
 * @param {Model} model
 * @param {string} code
 */
export function resultsOf(model, code) {
  return code.split(" ").map((piece) => {
    const [, number = "", letters = ""] = /^(\d+)([a-z]+)$/.exec(piece) || [];
    const node = model.nodes.find(({ kind, ...one }) => kind === "step" && "number" in one && String(one.number) === number);
    const place = [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 96, 0) - 1;
    const result = node && node.results && node.results[place];
    return result ? result.name : "";
  }).filter(Boolean);
}

/**
 * @param {HTMLElement} list
 * @param {Model} model
 * @param {Settings} own
 */
export function lines(list, model, own) {
  const links = (list.textContent || "").split("\n").filter((line) => line.trim()).map((line) => {
    const code = line.slice(line.lastIndexOf(" · ") + 3).trim();
    const results = resultsOf(model, code);
    const { whole } = costs(model, course(model, results).nodes, own);
    const text = line.trim().replace(/^[^·]*/, () => `${money(whole.money[1])} `);
    return [h("a", { href: `${root}sheet.html#playbook=${model.slug}&results=${results.join(".")}` }, text), "\n"];
  });
  list.replaceChildren(...links.flat());
}
