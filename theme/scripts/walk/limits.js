/* The owner's limits, where the work of a screen would break them. */

/** @import { View } from "../types.js" */
import { added, soFar } from "../job/tally.js";
import { mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { way } from "./pieces.js";
import { screenAddress } from "./stage.js";

/** @param {View} view */
export function limits(view) {
  const { node, model, before, done, settings, job, where, again } = view;
  const { budget, minutes } = settings.limits || {};
  if (node.kind === "handover") return null;
  const own = added(before, { model, node }, settings);
  const spent = soFar(done, settings).money;
  const money = mean(own.money);
  const time = mean(own.minutes);
  const passed = again ? [] : where.passed.filter(({ seen }) => !seen).map(({ i }) => model.nodes[i].title);
  return [
    passed.length ? h("p", { class: "note" }, say("Passed without being done, as if it had its likeliest result: {titles}.", { titles: passed.join(", ") })) : null,
    node.barred !== undefined ? h("p", { class: "note" }, say("Your limits keep you from this: {hazard}.", { hazard: model.hazards[node.barred].name })) : null,
    budget !== undefined && spent + money > budget ? h("p", { class: "note" },
      say("This would bring the job to {money}, over your budget of {budget}.", { money: figures.money(spent + money), budget: figures.money(budget) }), " ",
      way(say("Stop and hand over"), screenAddress(job, "report"), "small-button")) : null,
    minutes !== undefined && time > minutes ? h("p", { class: "note" },
      say("This takes about {time}; you have {left} today. Leave it for another day if it cannot be left half done.", { time: figures.minutes(time), left: figures.minutes(minutes) })) : null,
  ];
}
