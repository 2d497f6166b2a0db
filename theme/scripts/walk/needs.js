/* What a step or an ending asks for: tools to buy, to borrow or to own, parts at the owner's own prices, what to open. */

/** @import { Priced, Settings, Tool, View } from "../types.js" */
import { save, settings } from "../device/settings.js";
import { bill, mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { readMoney } from "../show/typed.js";
import { currency, root } from "../site/site.js";
import { say } from "../site/words.js";
import { figureField } from "./fields.js";
import { draw } from "./stage.js";

/** Whether the box is open stays from one screen to the next. */
let isOpen = false;

/** @param {(own: Settings) => void} act */
function choose(act) {
  const own = settings();
  act(own);
  save(own);
  draw(false);
}

/** @param {Priced} priced */
const priceText = ({ price: [low, , high] }) => figures.range(low, high, figures.money);

/**
 * @param {string} name
 * @param {Tool} tool
 * @param {boolean} isHad
 * @param {Settings} own
 */
function toolRow(name, tool, isHad, own) {
  const link = h("a", { href: `${root}tool/${name}.html` }, tool.name);
  if (!mean(tool.price)) return h("li", {}, link);
  if (isHad) return h("li", {}, link, " ", h("small", {}, say("you have it from an earlier step")));
  /** @type {[value: "buy" | "borrow" | "own", text: string][]} */
  const ways = [["buy", say("buy it ({money})", { money: priceText(tool) })]];
  if (tool.borrow) ways.push(["borrow", say("borrow it ({money})", { money: figures.range(tool.borrow[0], tool.borrow[2], figures.money) })]);
  ways.push(["own", say("own it")]);
  const now = own.tools[name] || "buy";
  return h("li", {}, h("fieldset", {}, h("legend", {}, link), ways.map(([value, text]) => h("label", {},
    h("input", { type: "radio", name: `tool-${name}`, value, checked: value === now, onchange: () => choose((chosen) => {
      if (value === "buy") delete chosen.tools[name];
      else chosen.tools[name] = value;
    }) }), " ", text))));
}

/**
 * @param {string} name
 * @param {Priced} part
 * @param {number} count
 * @param {Settings} own
 */
function partRow(name, part, count, own) {
  const link = h("a", { href: `${root}part/${name}.html` }, part.name);
  const price = own.parts && own.parts[name];
  return h("li", {}, count > 1 ? `${count} × ` : null, link, " ", h("small", {}, priceText(part)),
    figureField({
      id: `price-${name}`, label: say("Your price ({currency})", { currency }), value: price === undefined ? "" : String(price), read: readMoney,
      keep: (value) => choose((chosen) => {
        const { [name]: _, ...others } = chosen.parts || {};
        chosen.parts = value === null ? others : { ...others, [name]: value };
      }),
    }));
}

/**
 * All that a screen's work needs, as one line that opens.
 * @param {View} view
 */
export function needs({ node, model, before, settings: own }) {
  const parts = Object.entries(node.parts);
  if (!node.tools.length && !parts.length && !node.access.length) return null;
  const had = bill(before, own);
  const open = node.access.map((job) => [model.access[job].name, had.access.has(job) ? ` (${say("open already")})` : ""].join(""));
  /** @param {string} tool */
  const toolText = (tool) => {
    const { name, price, borrow } = model.tools[tool];
    if (!mean(price)) return name;
    if (had.tools.has(tool)) return `${name} (${say("from an earlier step")})`;
    if (own.tools[tool] === "own") return `${name} (${say("yours")})`;
    return own.tools[tool] === "borrow" && borrow ? `${name} (${say("borrowed")})` : name;
  };
  const words = [...node.tools.map(toolText), ...parts.map(([name]) => model.parts[name].name), ...open];
  /** @param {Event} event */
  const toggled = ({ target }) => { isOpen = target instanceof HTMLDetailsElement && target.open; };
  return h("details", { class: "needs-of", open: isOpen, ontoggle: toggled },
    h("summary", {}, h("b", {}, say("You need:")), " ", words.join(" · ")),
    h("ul", {}, node.tools.map((name) => toolRow(name, model.tools[name], had.tools.has(name), own)),
      parts.map(([name, count]) => partRow(name, model.parts[name], count, own)),
      node.access.map((job, k) => h("li", {}, say("Open up"), ": ", h("a", { href: `${root}access/${job}.html` }, open[k])))));
}
