/* A playbook that has changed under a job: what still has a step is kept, and what has not is said. */

/** @import { View } from "../types.js" */
import { renamed } from "../job/job.js";
import { nodeNamed } from "../job/stand.js";
import { h } from "../show/dom.js";
import { say } from "../site/words.js";
import { button } from "./pieces.js";
import { changeAndDraw, keep } from "./stage.js";
import { standing } from "./view.js";

/**
 * What of the evidence the playbook does not have any more, or words otherwise.
 * @param {View} view
 */
function differences({ leg, model }) {
  const changed = [];
  for (const seen of leg.seen) {
    const node = nodeNamed(model, seen.step);
    const result = node && (node.results || []).find(({ name }) => name === seen.result);
    if (!node || node.kind !== "step") changed.push(say("The step “{step}” is no longer there.", { step: seen.title }));
    else if (!result) changed.push(say("The result “{result}” of “{step}” is no longer there.", { result: seen.expect, step: seen.title }));
    else if (seen.hash && seen.hash !== node.hash) {
      changed.push(say("The step “{step}” reads differently now.", { step: seen.title }));
      seen.hash = node.hash;
    }
  }
  for (const tried of leg.tried) {
    if (!nodeNamed(model, tried.ending)) changed.push(say("The ending “{ending}” is no longer there.", { ending: tried.title }));
  }
  return changed;
}

/** @param {View} view */
export function fitAgain(view) {
  const { leg, model, job } = view;
  if (leg.hash === model.hash && leg.slug === model.slug) return;
  const old = leg.slug;
  renamed(model, leg);
  for (const wait of job.waits) if (wait.slug === old) wait.slug = model.slug;
  view.models[model.slug] = model;
  const changed = differences(view);
  leg.changed = changed.length ? changed : [say("What you have answered stays as it was. Figures, or texts of other steps, may differ.")];
  leg.hash = model.hash;
  keep(job);
  Object.assign(view, standing(job, view.models, leg, model, view.settings, view.again ? view.node.name : undefined));
}

/**
 * What is to be said of changes, above the screen.
 * @param {View} view
 */
export function changes(view) {
  const { job, leg, models } = view;
  const understood = () => changeAndDraw(view, () => { delete leg.changed; });
  const missing = job.legs.filter(({ slug }) => !models[slug]).map(({ title }) => title);
  return [
    leg.changed && leg.changed.length ? h("section", { class: "note", role: "status" },
      h("p", {}, h("b", {}, say("The playbook has changed since you started."))),
      h("ul", {}, leg.changed.map((text) => h("li", {}, text))),
      h("p", {}, say("All that still has a step counts on; the rest stays in your notes and in what was spent.")),
      button(say("Understood"), understood, "quiet")) : null,
    missing.length
      ? h("p", { class: "note" }, say("An earlier playbook of this job cannot be loaded; what was done there counts as it did then: {names}", { names: missing.join(", ") }))
      : null,
  ];
}
