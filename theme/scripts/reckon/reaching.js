/* How likely the way ahead meets at least one node that needs something. */

/** @import { Model, PlaybookNode } from "../types.js" */
import { chances, shares, sum } from "./odds.js";

/**
 * The chance that the way from a node on meets one of some nodes, by one pass over the graph; null without odds, where it
 * may meet one, and 0 where it cannot.
 * @param {Model} model
 * @param {number} start
 * @param {number[] | null} now shares of the causes
 * @param {(node: PlaybookNode) => boolean} asks
 */
function meets(model, start, now, asks) {
  const causes = now || [1];
  /** @type {number[][]} */
  const rows = new Array(model.nodes.length);
  for (let i = rows.length - 1; i >= start; i--) {
    const node = model.nodes[i];
    const { results } = node;
    rows[i] = causes.map((_, c) => {
      if (asks(node)) return 1;
      if (!results) return 0;
      return now ? sum(results.map((result) => rows[result.to][c] * chances(result)[c])) : Math.max(...results.map(({ to }) => rows[to][c]));
    });
  }
  const chance = sum(causes.map((share, c) => share * rows[start][c]));
  return now || !chance ? chance : null;
}

/**
 * Chances that tools and parts are needed, by their names.
 * @param {Model} model
 * @param {number} start
 * @param {number[] | null} weights
 */
export function reaching(model, start, weights) {
  const now = weights && shares(weights);
  return {
    /** @param {string} name */
    tools: (name) => meets(model, start, now, ({ tools }) => tools.includes(name)),
    /** @param {string} name */
    parts: (name) => meets(model, start, now, ({ parts }) => Object.hasOwn(parts, name)),
  };
}
