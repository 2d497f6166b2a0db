/* What the whole job came to. */

/** @import { View } from "../types.js" */
import { soFar } from "../job/tally.js";
import { bill, mean } from "../reckon/bill.js";
import { h } from "../show/dom.js";
import * as figures from "../show/figures.js";
import { say } from "../site/words.js";
import { figure } from "./pieces.js";

/**
 * The whole job against what was expected when it began.
 * @param {View} view
 */
export function sums({ job, done, settings }) {
  const spent = soFar(done, settings);
  const { expected } = job;
  const shop = mean(bill(done, settings).shopMoney);
  return h("section", { id: "sums" }, h("h2", {}, say("What the job came to")),
    h("dl", { class: "figures" },
      figure(say("Money"), figures.money(spent.money), expected && say("expected at the start: {money}", { money: figures.about(expected.money) })),
      figure(say("Time"), figures.minutes(spent.minutes), expected && say("expected at the start: {time}", { time: figures.minutes(expected.minutes) })),
      figure(say("A workshop would have asked"), figures.about(shop)),
      settings.hour ? figure(say("With your own time counted"), figures.about(spent.money + spent.minutes / 60 * settings.hour)) : null));
}
