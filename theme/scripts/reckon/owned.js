/* A playbook as it is for the owner: by their own prices, and without what they do not do. */

/** @import { Amount, Model, PlaybookNode, Settings } from "../types.js" */

/**
 * The prices of parts, the owner's own in place of the catalogue's.
 * @param {Model} model
 * @param {Record<string, number>} own
 * @returns {Model["parts"]}
 */
const priced = (model, own) => Object.fromEntries(Object.entries(model.parts).map(([name, part]) => {
  /** @type {Amount} */
  const price = Object.hasOwn(own, name) ? [own[name], own[name], own[name]] : part.price;
  return [name, { ...part, price }];
}));

/**
 * A step or an ending, marked with the hazard that keeps the owner from it.
 * @param {PlaybookNode} node
 * @param {string[]} without
 * @returns {PlaybookNode}
 */
function marked(node, without) {
  if (node.kind === "handover" || node.shop) return node;
  const barred = without.find((hazard) => node.hazards.includes(hazard));
  return barred === undefined ? node : { ...node, barred };
}

/**
 * The model of a playbook under the owner's settings.
 * @param {Model} model
 * @param {Settings} settings
 * @returns {Model}
 */
export function owned(model, { parts = {}, limits = {} }) {
  const { without = [] } = limits;
  const ours = Object.keys(parts).length ? { ...model, parts: priced(model, parts) } : model;
  return without.length ? { ...ours, nodes: ours.nodes.map((node) => marked(node, without)) } : ours;
}
