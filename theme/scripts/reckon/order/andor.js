/* The search for the best order from a body of evidence, as in builder/reckon/order/search.py, step by step the same:
   a test holds both to the same policy and bound. */

/** @import { Action, Dues, Givens, Item, Next, Node, Problem } from "./shapes.js" */
import { PROFESSIONAL, UNDONE, high, low, mayFollow, replaced, sign, tells, undone } from "./acts.js";
import { Ledger } from "./fees.js";
import { Pairs } from "./pairs.js";

/** How near bound and policy must come, as a share of the cost, to count as the same; and the same below the top. */
export const TOLERANCE = 1e-9;
const CLOSED = 1e-10;
/** A share of cases that is nothing but what rounding left over. */
const NEVER = 1e-15;

/** A search; `effort` counts the nodes that were made. */
export class Hunt {
  /**
   * @param {Problem} problem
   * @param {Givens} givens
   */
  constructor(problem, givens) {
    this.problem = problem;
    this.budget = givens.budget;
    this.steps = problem.steps.map((_, s) => s).filter((s) => !givens.barred.has(s));
    this.repairs = problem.endings.map((_, e) => e)
      .filter((e) => problem.settles[e].some(Boolean) && !givens.closed.has(e));
    this.needed = new Set([...problem.steps, ...problem.endings].flatMap((item) => item.after.map(([step]) => step)));
    this.ledger = new Ledger(problem, this.repairs);
    this.pairs = new Pairs(this.ledger, this.steps);
    /** @type {Map<string, Node>} */
    this.nodes = new Map();
    this.root = this.node(givens.seen, givens.failed, givens.weights, this.ledger.dues(givens.met), 0);
  }

  get effort() { return this.nodes.size; }

  /**
   * The node of a body of evidence, made if it is new.
   * @param {string} seen
   * @param {string} failed
   * @param {number[]} weights
   * @param {Dues} dues
   * @param {number} spent
   * @returns {Node}
   */
  node(seen, failed, weights, dues, spent) {
    const key = seen + failed;
    const known = this.nodes.get(key);
    if (known) return known;
    let least = 0, whole = 0;
    weights.forEach((weight, c) => {
      least += weight * dues.least[c];
      whole += weight;
    });
    least += this.pairs.gain(undone(seen), weights, dues);
    /** @type {Node} */
    const made = { seen, failed, weights, whole, dues, spent, low: 0, high: 0, actions: null };
    made.high = this.byRepairs(made).cost;
    made.low = Math.min(least, made.high);
    this.nodes.set(key, made);
    return made;
  }

  /**
   * @param {Item} item
   * @param {string} seen
   * @param {number} spent
   * @param {Next} paid
   */
  may(item, seen, spent, paid) {
    return mayFollow(item, seen) && spent + paid.money <= this.budget;
  }

  /**
   * What repairs alone cost from a node, tried by chance over cost, and those that are worth it.
   * @param {Node} node
   */
  byRepairs(node) {
    const { settles } = this.problem;
    const weights = [...node.weights], failed = [...node.failed];
    let { whole, dues, spent: money } = node;
    let spent = 0, best = this.handedOver(weights, whole, dues), worth = 0;
    /** @type {number[]} */
    const tried = [];
    while (whole > NEVER) {
      const choice = this.likeliestForItsCost(node.seen, weights, dues, failed, money);
      if (!choice) break;
      const paid = dues.endings[choice.ending];
      spent += whole * paid.cost + choice.share * paid.due;
      if (spent >= best) break;
      whole = 0;
      settles[choice.ending].forEach((right, c) => {
        if (right) weights[c] = 0;
        whole += weights[c];
      });
      failed[choice.ending] = "1";
      money += paid.money;
      dues = this.ledger.dues(paid.met);
      tried.push(choice.ending);
      const cost = spent + this.handedOver(weights, whole, dues);
      if (cost < best) [best, worth] = [cost, tried.length];
    }
    return { cost: best, repairs: tried.slice(0, worth) };
  }

  /**
   * What a professional takes for all that is left.
   * @param {number[]} weights
   * @param {number} whole
   * @param {Dues} dues
   */
  handedOver(weights, whole, dues) {
    let total = whole * dues.due;
    weights.forEach((weight, c) => { total += weight * this.problem.bills[c]; });
    return total;
  }

  /**
   * @param {string} seen
   * @param {number[]} weights
   * @param {Dues} dues
   * @param {string[]} failed
   * @param {number} spent
   */
  likeliestForItsCost(seen, weights, dues, failed, spent) {
    let best = null, bestRatio = 0;
    for (const ending of this.repairs) {
      const paid = dues.endings[ending];
      if (failed[ending] === "1" || !this.may(this.problem.endings[ending], seen, spent, paid)) continue;
      const share = this.share(ending, weights);
      const ratio = share / (paid.cost + 1e-9);
      if (share > 0 && ratio > bestRatio) [best, bestRatio] = [{ ending, share }, ratio];
    }
    return best;
  }

  /**
   * The weight of the causes that a repair puts right.
   * @param {number} ending
   * @param {number[]} weights
   */
  share(ending, weights) {
    let share = 0;
    this.problem.settles[ending].forEach((right, c) => { if (right) share += weights[c]; });
    return share;
  }

  /** @param {Node} node */
  widen(node) {
    /** @type {Action} */
    const over = { ...PROFESSIONAL, fixed: this.handedOver(node.weights, node.whole, node.dues) };
    const found = [...this.repairsAt(node), ...this.stepsAt(node)];
    node.actions = [over, ...found.filter((action) => action.least < node.high)];
    this.update(node);
  }

  /** @param {Node} node */
  repairsAt(node) {
    return this.repairs.filter((ending) => node.failed[ending] !== "1"
      && this.may(this.problem.endings[ending], node.seen, node.spent, node.dues.endings[ending])
      && this.share(ending, node.weights) > NEVER * node.whole).map((ending) => this.repair(node, ending));
  }

  /**
   * @param {Node} node
   * @param {number} ending
   * @returns {Action}
   */
  repair(node, ending) {
    const paid = node.dues.endings[ending];
    const { least } = this.ledger.dues(paid.met);
    let total = 0, left = 0;
    this.problem.settles[ending].forEach((right, c) => {
      if (right) return;
      left += node.weights[c];
      total += node.weights[c] * least[c];
    });
    const fixed = node.whole * paid.cost + (node.whole - left) * paid.due;
    const open = left <= NEVER * node.whole;
    return { kind: "ending", number: ending, fixed, results: [], after: [], open, least: open ? 0 : fixed + total };
  }

  /** @param {Node} node */
  stepsAt(node) {
    const left = undone(node.seen);
    /** @type {Action[]} */
    const found = [];
    for (const step of this.steps) {
      const paid = node.dues.steps[step];
      if (node.seen[step] !== UNDONE || !this.may(this.problem.steps[step], node.seen, node.spent, paid)) continue;
      if (!this.needed.has(step) && !tells(this.problem.chances[step], node.weights)) continue;
      const action = this.step(node, step);
      if (action.least < node.high) {
        const gain = this.pairs.gain(left, node.weights, this.ledger.dues(paid.met), step);
        action.least = Math.max(action.least + gain, node.low);
      }
      found.push(action);
    }
    return found;
  }

  /**
   * @param {Node} node
   * @param {number} step
   * @returns {Action}
   */
  step(node, step) {
    const paid = node.dues.steps[step];
    const { least } = this.ledger.dues(paid.met);
    const fixed = node.whole * paid.cost;
    let total = fixed;
    node.weights.forEach((weight, c) => { total += weight * least[c]; });
    return { kind: "step", number: step, fixed, results: [], after: [], open: false, least: total };
  }

  /**
   * The action with the nodes that may follow it.
   * @param {Node} node
   * @param {Action} action
   */
  open(node, action) {
    if (action.open) return action;
    const { number } = action;
    const paid = (action.kind === "step" ? node.dues.steps : node.dues.endings)[number];
    const dues = this.ledger.dues(paid.met);
    const spent = node.spent + paid.money;
    action.open = true;
    if (action.kind === "ending") {
      const weights = node.weights.map((weight, c) => (this.problem.settles[number][c] ? 0 : weight));
      action.after = [this.node(node.seen, replaced(node.failed, number, "1"), weights, dues, spent)];
      return action;
    }
    this.problem.chances[number].forEach((chances, result) => {
      const weights = node.weights.map((weight, c) => weight * chances[c]);
      let whole = 0;
      for (const weight of weights) whole += weight;
      if (whole > NEVER * node.whole) {
        action.results.push(result);
        action.after.push(this.node(replaced(node.seen, number, sign(result)), node.failed, weights, dues, spent));
      }
    });
    return action;
  }

  /**
   * Carry bounds and costs of what follows a node up to it; gives the action with the least bound.
   * @param {Node} node
   */
  update(node) {
    const actions = node.actions || [];
    let best = actions[0], least = low(best), cost = high(best);
    for (const action of actions) {
      const bound = low(action);
      if (bound < least) [best, least] = [action, bound];
      cost = Math.min(cost, high(action));
    }
    node.high = Math.min(node.high, cost);
    node.low = Math.min(Math.max(node.low, least), node.high);
    return best;
  }

  /**
   * Search from a node until its gap is closed or so many nodes were made in all.
   * @param {number} effort
   * @param {Node} [top]
   */
  solve(effort, top = this.root) {
    while (top.high - top.low > TOLERANCE * top.high && this.effort < effort) {
      const trail = this.down(top);
      const last = trail[trail.length - 1];
      if (!last.actions) this.widen(last);
      for (const node of trail.reverse()) this.update(node);
    }
    return top;
  }

  /** @param {Node} top */
  down(top) {
    const trail = [top];
    for (let node = top; node.actions;) {
      let action = this.update(node);
      while (!action.open) {
        this.open(node, action);
        action = this.update(node);
      }
      let gap = 0, following = null;
      for (const after of action.after) {
        const open = after.high - after.low;
        if (open > gap && open > CLOSED * after.high) [gap, following] = [open, after];
      }
      if (!following) break;
      trail.push(following);
      node = following;
    }
    return trail;
  }
}
