/* "Why this now?": which causes a step tells apart, and what each result would do, before it is done. */

/** @import { Result, StepView } from "../types.js" */
import { ahead } from "../job/ahead.js";
import { expect } from "../reckon/expect.js";
import { shares, sum, weigh } from "../reckon/odds.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { causeName, ranked } from "./pieces.js";

/**
 * Where the job would stand after a result.
 * @param {StepView} view
 * @param {number[]} weights
 * @param {Result} result
 */
function after({ model, leg, done, node, settings, prospect: found }, weights, result) {
  const then = weigh(weights, result);
  const odds = shares(then);
  const means = odds && expect(ahead(model, leg), result.to, then, [...done, { model, node }], settings);
  const thing = found && found.things.find(({ kind, name }) => kind === "step" && name === node.name);
  const outcome = thing && thing.results.find(({ name }) => name === result.name);
  return { result, chance: sum(then) / sum(weights), odds, means, inTheEnd: outcome ? outcome.inTheEnd : null };
}

/**
 * The cause whose odds the results move most, and the one that stands against it.
 * @param {{odds: number[] | null}[]} rows
 * @param {number} count of causes
 */
function told(rows, count) {
  const known = rows.flatMap(({ odds }) => (odds ? [odds] : []));
  const spread = Array.from({ length: count }, (_, c) => Math.max(...known.map((odds) => odds[c])) - Math.min(...known.map((odds) => odds[c])));
  // A cause with a name says more than "something else", which is the last of them.
  const [first] = spread.map((by, c) => ({ by: c === count - 1 ? 0 : by, c })).sort((a, b) => b.by - a.by);
  if (!first || first.by < 0.02) return null;
  // The other one is the likeliest where the first is least so.
  const least = known.reduce((a, b) => (b[first.c] < a[first.c] ? b : a));
  const [other] = least.map((share, c) => ({ share: c === count - 1 ? 0 : share, c })).filter(({ c }) => c !== first.c).sort((a, b) => b.share - a.share);
  return { first: first.c, other: other.c };
}

/** @param {StepView} view */
export function why(view) {
  const { node, model, where: { weights } } = view;
  if (!weights || !shares(weights) || node.results.length < 2) return null;
  const rows = node.results.map((result) => after(view, weights, result));
  const apart = told(rows, weights.length);
  const summary = apart
    ? say("It tells “{one}” from “{other}”.", { one: causeName(model, apart.first), other: causeName(model, apart.other) })
    : say("It changes little about the causes; the playbook needs it on the way.");
  return h("details", { class: "why" }, h("summary", {}, h("b", {}, say("Why this now?")), " ", h("span", { class: "why-short" }, summary)),
    h("ul", {}, rows.map(({ result, chance, odds, means, inTheEnd }) => h("li", {}, h("b", {}, result.expect), " – ",
      odds
        ? [
          say("to be expected in {share} of cases like yours", { share: figures.share(chance) }), ". ",
          say("Then: {causes}.", { causes: ranked(model, odds).slice(0, 2).map(({ name, share }) => `${name} ${figures.share(share)}`).join(", ") }), " ",
          means ? say("Still to come then: {money}, {time}.", { money: figures.about(means.money), time: figures.minutes(means.minutes) }) : "", " ",
          inTheEnd === null ? "" : say("In the end then, at best: {money}.", { money: figures.about(inTheEnd) }),
        ]
        : say("cannot come up, by the odds of the playbook")))));
}
