/* "Not sure": how to tell results apart, and an answer with a weight. */

/** @import { Result, StepView } from "../types.js" */
import { shares, sum, weigh } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { button, ranked } from "./pieces.js";

/** How much more an answer speaks for one result than for each other one. */
const RATIO = 3;

/** @typedef {"probably" | "even" | "hardly"} Lean */

/**
 * How strongly an unsure answer speaks for each result; only the ratios count.
 * @param {Result[]} results
 * @param {Result} result
 * @param {Lean} lean
 * @returns {Record<string, number>}
 */
export function weightsFor(results, result, lean) {
  const [own, others] = lean === "probably" ? [RATIO, 1] : lean === "hardly" ? [1, RATIO] : [1, 1];
  return Object.fromEntries(results.map(({ name }) => [name, name === result.name ? own : others]));
}

/**
 * @param {StepView} view
 * @param {Result} result
 */
function forecast({ model, where: { weights } }, result) {
  const after = weights && weigh(weights, result);
  const now = after && shares(after);
  const chance = weights && after && shares(weights) ? sum(after) / sum(weights) : null;
  return { result, chance, top: now && ranked(model, now)[0] };
}

/**
 * @param {StepView} view
 * @param {(result: Result, weights: Record<string, number>) => void} give
 */
export function unsure(view, give) {
  const { results } = view.node;
  const rows = results.map((result) => forecast(view, result));
  const favourite = rows.every(({ chance }) => chance !== null) ? rows.reduce((a, b) => (Number(b.chance) > Number(a.chance) ? b : a)) : null;
  /** The way goes on with the result that is the likeliest then. @type {(result: Result, lean: Lean) => void} */
  const lean = (result, how) => {
    const weights = weightsFor(results, result, how);
    const found = rows.map((row) => ({ row, by: (row.chance ?? 1) * weights[row.result.name] }));
    give(found.reduce((a, b) => (b.by > a.by ? b : a)).row.result, weights);
  };
  return h("details", { class: "not-sure" }, h("summary", {}, say("Not sure")),
    h("p", {}, say("Do the step once more if you can, and look for the result that fits in every word. If you cannot tell, say how it looks:")),
    h("ul", {}, rows.map(({ result, chance, top }) => h("li", {}, h("b", {}, result.expect),
      chance === null ? null : h("span", {}, ` – ${say("to be expected in {share} of cases like yours", { share: figures.share(chance) })}`),
      top ? h("span", {}, `. ${say("It would speak for: {cause} ({share})", { cause: top.name, share: figures.share(top.share) })}`) : null,
      results.length > 1 ? h("span", { class: "buttons" },
        button(say("Probably"), () => lean(result, "probably"), "small-button"),
        button(say("Probably not"), () => lean(result, "hardly"), "small-button")) : null))),
    results.length > 1 ? button(say("I cannot tell at all"), () => lean(results[0], "even"), "small-button") : null,
    favourite ? h("p", {}, say("The odds favour: “{expect}”. They do not know your car: what you see counts.", { expect: favourite.result.expect })) : null);
}
