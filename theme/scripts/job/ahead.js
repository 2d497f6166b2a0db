/* What is still to come for a leg, when what is known costs nothing any more and is not asked again. Pure. */

/** @import { Leg } from "../made/jobschema.js" */
/** @import { Amount, Model, PlaybookNode, Result } from "../types.js" */
import { isOut, seenAt } from "./stand.js";

/** @type {Amount} */
const NOTHING = [0, 0, 0];

/**
 * A step that is passed without being done; what is seen at it is settled already.
 * @param {PlaybookNode} node
 * @param {Result | null} known its result; of a step that is set aside none is known, and all may be
 * @returns {PlaybookNode}
 */
function passed(node, known) {
  const free = { ...node, cost: NOTHING, time: NOTHING, tools: [], parts: {}, access: [] };
  if (free.kind !== "step" || !known) return free;
  /** @param {Result} result */
  const settled = (result) => result.chance && result.chance.map(() => (result.name === known.name ? 1 : 0));
  return { ...free, results: free.results.map((result) => ({ ...result, chance: settled(result) })) };
}

/**
 * A playbook as it lies before a leg.
 * @param {Model} model
 * @param {Leg} leg
 * @returns {Model}
 */
export function ahead(model, leg) {
  const nodes = model.nodes.map((node) => {
    if (node.kind !== "step") return node;
    const known = seenAt(leg, node);
    if (known) return passed(node, known.result);
    return isOut(leg, node) ? passed(node, null) : node;
  });
  return { ...model, nodes };
}
