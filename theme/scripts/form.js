/* The page of the owner's tools, prices, limits and units. */

/** @import { Settings } from "./types.js" */
import { forget, save, settings } from "./device/settings.js";
import { forgetUnits, saveUnits } from "./device/system.js";
import { all, one, put } from "./show/dom.js";
import { first } from "./show/units.js";
import * as site from "./site/site.js";
import { say } from "./site/words.js";

const form = one(HTMLFormElement, "#settings");
const said = one(HTMLElement, "#settings-said");
const rate = one(HTMLInputElement, "#rate", form);
const hour = one(HTMLInputElement, "#hour", form);
const units = all(HTMLInputElement, "input[name='units']", form);
const tools = all(HTMLInputElement, "input[data-tool]", form);
const ways = all(HTMLInputElement, "input[name='way']", form);
const without = all(HTMLInputElement, "input[data-without]", form);
const budget = one(HTMLInputElement, "#budget", form);
const hours = one(HTMLInputElement, "#hours", form);

function show() {
  const now = settings();
  rate.value = String(now.rate);
  hour.value = String(now.hour);
  for (const radio of tools) radio.checked = (now.tools[radio.dataset.tool || ""] || "buy") === radio.value;
  for (const radio of units) radio.checked = radio.value === first();
  for (const radio of ways) radio.checked = radio.value === (now.way || "written");
  const { budget: money = "", without: avoided = [], minutes } = now.limits || {};
  for (const box of without) box.checked = avoided.includes(box.dataset.without || "");
  budget.value = String(money);
  hours.value = minutes === undefined ? "" : String(minutes / 60);
}

/** @returns {NonNullable<Settings["limits"]>} */
function limits() {
  const avoided = without.filter(({ checked }) => checked).map(({ dataset }) => dataset.without || "");
  return {
    ...(budget.valueAsNumber >= 0 && { budget: budget.valueAsNumber }), ...(avoided.length && { without: avoided }),
    ...(hours.valueAsNumber >= 0 && { minutes: hours.valueAsNumber * 60 }),
  };
}

/**
 * @param {HTMLInputElement} input
 * @param {number} otherwise
 */
const figure = ({ valueAsNumber }, otherwise) => (Number.isFinite(valueAsNumber) && valueAsNumber >= 0 ? valueAsNumber : otherwise);

function keep() {
  /** @type {Settings["tools"]} */
  const own = {};
  for (const { checked, value, dataset } of tools) {
    if (checked && dataset.tool && (value === "own" || value === "borrow")) own[dataset.tool] = value;
  }
  const { parts } = settings();
  const set = limits();
  const kept = save({
    rate: figure(rate, site.rate), hour: figure(hour, site.hour), tools: own, ...(parts && { parts }),
    ...(Object.keys(set).length && { limits: set }), ...(ways.some(({ checked, value }) => checked && value === "best") && { way: "best" }),
  });
  put(said, kept ? say("Kept. All figures on this device follow.") : say("This browser does not keep it beyond this page."));
}

for (const radio of units) radio.addEventListener("change", () => saveUnits(radio.value));
form.addEventListener("change", keep);
form.addEventListener("submit", (event) => event.preventDefault());
one(HTMLElement, "#reset", form).addEventListener("click", () => {
  forget();
  forgetUnits();
  show();
  put(said, say("Back to the figures of the site."));
});
show();
