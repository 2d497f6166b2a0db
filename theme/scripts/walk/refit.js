/* A playbook that has changed under a job: what still fits is kept, and what does not is said. */

/** @import { View } from "../types.js" */
import { draftOf, left } from "../job/job.js";
import { done } from "../job/tally.js";
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { button } from "./pieces.js";
import { keep, keepAndDraw } from "./stage.js";

/**
 * Take off the way what its playbook no longer has.
 * @param {View} view
 * @returns {string[]} what has changed
 */
function takeOff({ leg, where, node, job }) {
  const changed = [];
  const gone = where.misfits.find(({ from }) => from !== null);
  if (gone && gone.from !== null) {
    changed.push(gone.why === "step"
      ? say("The step “{step}” is no longer there, or no longer here.", { step: gone.answer.title })
      : say("The result “{result}” of “{step}” is no longer there.", { result: gone.answer.expect, step: gone.answer.title }));
    const after = leg.way.splice(gone.from);
    if (gone.why === "result") {
      leg.draft = draftOf(gone.answer);
      after.shift();
    }
    leg.extra.push(...after);
  }
  for (const { why, answer } of where.misfits) {
    if (why === "text") changed.push(say("The step “{step}” reads differently now.", { step: answer.title }));
  }
  if (leg.ending && (gone || node.kind !== "ending" || leg.ending.name !== node.name)) {
    if (!gone) changed.push(say("The path ends elsewhere now."));
    if (leg.ending.done) leg.extra.push(left(leg.ending));
    leg.ending = null;
    job.state = "open";
  }
  return changed;
}

/** @param {View} view */
export function fitAgain(view) {
  const { leg, model, where } = view;
  const changed = takeOff(view);
  if (!changed.length && leg.hash === model.hash) return;
  leg.changed = changed.length ? changed : [say("What you have answered stays as it was. Figures, or texts of other steps, may differ.")];
  leg.hash = model.hash;
  // Dangers may read differently too: they are acknowledged anew.
  leg.read = [];
  where.nodes.forEach((i, k) => {
    const node = model.nodes[i];
    if (node.kind === "step") leg.way[k].hash = node.hash;
  });
  view.before = done(view.job, view.models);
  keep(view.job);
}

/**
 * What is to be said of changes, above the screen.
 * @param {View} view
 */
export function changes({ job, leg, models }) {
  const understood = () => {
    delete leg.changed;
    keepAndDraw(job);
  };
  const missing = [...job.elsewhere, ...job.legs].filter(({ slug }) => !models[slug]).map(({ title }) => title);
  return [
    leg.changed && leg.changed.length ? h("section", { class: "note", role: "status" },
      h("p", {}, h("b", {}, say("The playbook has changed since you started."))),
      h("ul", {}, leg.changed.map((text) => h("li", {}, text))),
      h("p", {}, say("You carry on where it still fits.")),
      button(say("Understood"), understood, "quiet")) : null,
    missing.length
      ? h("p", { class: "note" }, say("An earlier playbook of this job cannot be loaded; what was done there counts as it did then: {names}", { names: missing.join(", ") }))
      : null,
  ];
}
