/* The page of a playbook: the flowchart in view, and every figure that rests on tools or on the labour rate by the
   owner's own settings. */

/** @import { Amount, Model, Settings, Work } from "./types.js" */
import { changed, settings } from "./device/settings.js";
import { bill, mean } from "./reckon/bill.js";
import { expect } from "./reckon/expect.js";
import { LISTABLE, pathCounts, paths, within } from "./reckon/paths.js";
import { all, h, one, put } from "./show/dom.js";
import * as figures from "./show/figures.js";
import { enlargeable } from "./show/pane.js";
import { lines } from "./sheet/lines.js";
import { model as playbook } from "./site/data.js";

/**
 * @param {HTMLElement} element
 * @param {Amount} amount
 */
function writeMoney(element, [low, likely, high]) {
  const shown = one(HTMLElement, "[data-likely]", element);
  put(shown, figures.money(likely));
  const [range = h("small", { class: "range" })] = all(HTMLElement, ".range", element);
  put(range, low === high ? "" : `(${figures.range(low, high, figures.money)})`);
  if (range.textContent && !range.isConnected) shown.after(" ", range);
}

/**
 * @param {Model} model
 * @param {number[]} nodes
 * @returns {Work[]}
 */
const worksOf = (model, nodes) => nodes.map((i) => ({ model, node: model.nodes[i] }));

/**
 * The nodes of a path, by the names of its results.
 * @param {Model} model
 * @param {string[]} names
 */
function nodesOf(model, names) {
  const nodes = [0];
  for (const name of names) {
    const { results = [] } = model.nodes[nodes[nodes.length - 1]];
    const result = results.find((one) => one.name === name);
    if (result) nodes.push(result.to);
  }
  return nodes;
}

/**
 * @param {Model} model
 * @param {Settings} own
 */
function applyToWork(model, own) {
  for (const element of all(HTMLElement, "[data-work]")) {
    const node = model.nodes.find(({ kind, name }) => `${kind}-${name}` === element.dataset.work);
    if (node) writeMoney(element, bill([{ model, node }], own).money);
  }
  for (const path of all(HTMLElement, "[data-path]")) {
    const names = path.dataset.path || "";
    const works = worksOf(model, nodesOf(model, names.split(" ").filter(Boolean)));
    const whole = bill(works, own);
    for (const element of all(HTMLElement, "[data-sum]", path)) {
      writeMoney(element, element.dataset.sum === "shop" ? whole.shopMoney : whole.money);
    }
    for (const element of all(HTMLElement, "[data-added]", path)) {
      const k = Number(element.dataset.added);
      const [after, before] = [bill(works.slice(0, k + 1), own), bill(works.slice(0, k), own)];
      put(element, figures.money(after.money[1] - before.money[1]));
    }
  }
}

/**
 * Expected, wasted and within, by the names that figures have on the page.
 * @param {Model} model
 * @param {Settings} own
 */
function headline(model, own) {
  /** @type {Record<string, number>} */
  const found = {};
  const { prior, nodes } = model;
  const whole = prior && expect(model, 0, prior, [], own);
  if (!whole) return found;
  /** @param {number} i */
  const wrong = (i) => {
    const node = nodes[i];
    return prior.map((_, c) => (node.kind === "ending" && node.repairs && !(node.rights && node.rights[c]) ? 1 : 0));
  };
  const wasted = expect(model, 0, prior, [], own, wrong);
  const most = within(model, 0, prior, [], own, [0.5, 0.95]);
  found["expected-money"] = whole.money;
  found["expected-shop"] = whole.shopMoney;
  if (wasted) found.wasted = wasted.money;
  if (most) [found["within-50"], found["within-95"]] = most;
  found.self = whole.money + whole.minutes / 60 * own.hour;
  return found;
}

/**
 * The cheapest and the dearest path.
 * @param {Model} model
 * @param {Settings} own
 */
function applyEnds(model, own) {
  if (pathCounts(model)[0] > LISTABLE || !document.querySelector("[data-end]")) return;
  const bills = paths(model).map((nodes) => bill(worksOf(model, nodes), own).money).sort((a, b) => mean(a) - mean(b));
  for (const [end, [low, likely, high]] of /** @type {const} */ ([["cheapest", bills[0]], ["dearest", bills[bills.length - 1]]])) {
    for (const element of all(HTMLElement, `[data-end="${end}"]`)) {
      put(one(HTMLElement, ".big", element), figures.money(likely));
      for (const note of all(HTMLElement, "small", element)) put(note, figures.range(low, high, figures.money));
    }
  }
}

async function applyOwn() {
  const own = settings();
  const isOwn = changed(own);
  const page = document.documentElement.dataset;
  const { playbook: slug } = document.body.dataset;
  if (!slug || (!isOwn && !page.applied)) return;
  const model = await playbook(slug);
  for (const [name, money] of Object.entries(headline(model, own))) {
    for (const element of all(HTMLElement, `[data-figure="${name}"]`)) put(element, figures.about(money));
  }
  applyToWork(model, own);
  applyEnds(model, own);
  for (const element of all(HTMLElement, ".own-prices")) element.hidden = !isOwn;
  page.applied = "yes";
}

const follow = () => applyOwn().catch(() => { /* the figures of the site stay */ });

for (const list of all(HTMLElement, ".path-lines")) {
  const { playbook: slug } = document.body.dataset;
  const folded = list.closest("details");
  if (slug && folded) folded.addEventListener("toggle", async () => lines(list, await playbook(slug), settings()), { once: true });
}
for (const frame of all(HTMLElement, ".drawing")) for (const drawing of all(SVGSVGElement, "svg", frame)) enlargeable(frame, drawing);
follow();
addEventListener("storage", () => ("requestIdleCallback" in globalThis ? requestIdleCallback(follow) : setTimeout(follow, 1)));
