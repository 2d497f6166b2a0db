/* Lists of playbooks: what each will probably cost by the owner's own tools and prices, and filters. */

/** @import { Settings } from "./types.js" */
import { settings } from "./device/settings.js";
import { all, one, put } from "./show/dom.js";
import { about } from "./show/figures.js";
import { say } from "./site/words.js";

/** @typedef {{material: number, minutes: number, tools: Record<string, [chance: number, price: number, borrow: number | null]>}} Makeup */

/**
 * What a playbook is expected to cost; what its dearest path costs where it has no odds.
 * @param {HTMLElement} row
 * @param {Settings} own
 */
function rowMoney(row, own) {
  if (!row.dataset.form) return Number(row.dataset.money);
  /** @type {Makeup} */
  const { material, minutes, tools } = JSON.parse(row.dataset.form);
  const bought = Object.entries(tools).reduce((sum, [tool, [chance, price, borrow]]) => {
    const how = own.tools[tool];
    return sum + chance * (how === "own" ? 0 : how === "borrow" && borrow !== null ? borrow : price);
  }, 0);
  return material + bought + minutes / 60 * own.rate;
}

function applyOwn() {
  const own = settings();
  for (const row of all(HTMLElement, "[data-form]")) {
    for (const place of all(HTMLElement, "[data-figure='row-money']", row)) put(place, about(rowMoney(row, own)));
  }
}

/** @param {HTMLFormElement} form */
function filters(form) {
  const rows = all(HTMLElement, ".row[data-banner]");
  const said = one(HTMLElement, "[role='status']", form);
  /** @param {string} name */
  const field = (name) => one(HTMLInputElement, `[name="${name}"]`, form);
  const apply = () => {
    const own = settings();
    const sum = field("sum").valueAsNumber;
    /** @param {HTMLElement} row */
    const fits = (row) => {
      const { banner = "", tools = "", minutes } = row.dataset;
      const hazards = banner.split(" ");
      return !(field("no-lifting").checked && hazards.includes("lifting")) &&
        !(field("no-timing").checked && hazards.includes("timing")) &&
        !(field("own-tools").checked && tools.split(" ").some((tool) => tool && own.tools[tool] !== "own")) &&
        !(field("within-hour").checked && Number(minutes) > 60) &&
        !(Number.isFinite(sum) && rowMoney(row, own) > sum);
    };
    for (const row of rows) row.hidden = !fits(row);
    for (const section of all(HTMLElement, "section[data-area]")) section.hidden = !section.querySelector(".row:not([hidden])");
    const anyhow = !form.querySelector("input:checked") && !Number.isFinite(sum);
    put(said, anyhow ? "" : say("{shown} of {all} playbooks fit.", { shown: rows.filter(({ hidden }) => !hidden).length, all: rows.length }));
  };
  form.addEventListener("input", apply);
  addEventListener("storage", apply);
  form.addEventListener("submit", (event) => event.preventDefault());
  apply();
}

applyOwn();
addEventListener("storage", applyOwn);
all(HTMLFormElement, "form.filters").forEach(filters);
