/* The shopping list: tools to buy or to borrow, and parts with the odds that they are needed. */

/** @import { View } from "../types.js" */
import { ahead } from "../job/ahead.js";
import { bill, mean } from "../reckon/bill.js";
import { reaching } from "../reckon/reaching.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { title, way } from "./pieces.js";
import { jobAddress } from "./stage.js";

/** @param {View} view */
export function shopping(view) {
  const { model, leg, where, settings, done, job } = view;
  const had = bill(done, settings);
  const met = reaching(ahead(model, leg), where.i, where.weights);
  const tools = Object.entries(model.tools)
    .filter(([name, { price }]) => mean(price) && !had.tools.has(name) && settings.tools[name] !== "own")
    .map(([name, tool]) => ({ name: tool.name, chance: met.tools(name), price: settings.tools[name] === "borrow" && tool.borrow ? tool.borrow : tool.price, lent: settings.tools[name] === "borrow" }));
  const parts = Object.entries(model.parts).map(([name, part]) => ({ name: part.name, chance: met.parts(name), price: part.price, lent: false }));
  return h("article", { class: "card shopping" }, title(say("Shopping list")),
    h("p", {}, say("What the way ahead may ask for, by how likely it is. Buy what you need next; wait with the rest until you know.")),
    list(say("Tools"), tools), list(say("Parts"), parts),
    h("p", { class: "buttons" }, way(say("Go on"), jobAddress(job), "")));
}

/**
 * @param {string} heading
 * @param {{name: string, chance: number | null, price: import("../types.js").Amount, lent: boolean}[]} rows
 */
function list(heading, rows) {
  const shown = rows.filter(({ chance }) => chance !== 0).sort((a, b) => Number(b.chance) - Number(a.chance));
  return [
    h("h2", {}, heading),
    shown.length
      ? h("ul", { class: "boxes" }, shown.map(({ name, chance, price, lent }) => h("li", {}, h("b", {}, name), " ",
        h("span", {}, figures.range(price[0], price[2], figures.money)), lent ? ` ${say("to borrow")}` : "", chance === null ? "" : ` – ${say("needed in {share} of cases like yours", { share: figures.share(chance) })}`)))
      : h("p", {}, say("Nothing more.")),
  ];
}
