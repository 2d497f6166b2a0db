/* The best policy that a search knows, as in builder/reckon/order/policy.py. */

/** @import { Action, Node } from "./shapes.js" */
/** @import { Hunt } from "./andor.js" */
import { PROFESSIONAL, high } from "./acts.js";

/**
 * What the best known policy does at a node; `repairs` are those still to be tried where it does no more.
 * @param {Hunt} hunt
 * @param {Node} node
 * @param {number[] | null} [repairs]
 * @returns {{action: Action, repairs: number[] | null}}
 */
export function chosen(hunt, node, repairs = null) {
  if (!repairs) {
    if (node.actions) {
      let best = node.actions[0];
      for (const action of node.actions) if (high(action) < high(best)) best = action;
      if (high(best) <= node.high * (1 + 1e-12)) return { action: best, repairs: null };
    }
    repairs = hunt.byRepairs(node).repairs;
  }
  if (!repairs.length) return { action: PROFESSIONAL, repairs: [] };
  const [first, ...rest] = repairs;
  return { action: hunt.open(node, hunt.repair(node, first)), repairs: rest };
}

/**
 * The weight of the cases that the best known policy puts right from a node on.
 * @param {Hunt} hunt
 * @param {Node} root
 */
export function settledFrom(hunt, root) {
  let settled = 0;
  /** @type {[Node, number[] | null][]} */
  const waiting = [[root, null]];
  for (let here = waiting.pop(); here; here = waiting.pop()) {
    const [node, planned] = here;
    const { action, repairs } = chosen(hunt, node, planned);
    if (action.kind === "ending") settled += hunt.share(action.number, node.weights);
    for (const after of action.after) waiting.push([after, repairs]);
  }
  return settled;
}
