/* Bounds from pairs of causes, as in builder/reckon/order/pairs.py, which says why they hold. */

/** @import { Chain, Dues } from "./shapes.js" */
/** @import { Ledger } from "./fees.js" */
import { cheapest, cut, edge, scaled, share, sumOf } from "./chains.js";

/** Where more steps than this tell a pair apart, they may be repeated, so many levels deep. */
const EACH_ONCE = 4;
const LEVELS = 3;
/** At most so many sets of steps and fees are remembered. */
const KEPT = 20000;

/** @typedef {{one: number, other: number, chain: Chain}} Extra what two causes cost more than if they were known */

/** The chains of all pairs of causes; each is worked out when it is first asked for. */
export class Pairs {
  /**
   * @param {Ledger} ledger
   * @param {number[]} steps those that may be done at all
   */
  constructor(ledger, steps) {
    /** @type {Pair[]} */
    this.pairs = [];
    const causes = ledger.problem.weights.length;
    for (let c = 0; c < causes; c++) {
      for (let d = c + 1; d < causes; d++) this.pairs.push(new Pair(ledger, steps, c, d));
    }
    /** @type {Map<string, Extra[]>} */
    this.extras = new Map();
  }

  /**
   * What the cost in the end is more, at the least, than with the true cause known.
   * @param {string} undone a sign for each step, 1 where it is not done
   * @param {number[]} weights
   * @param {Dues} dues
   * @param {number} [told] the step whose result will be known before anything else is done, and is paid for
   */
  gain(undone, weights, dues, told = -1) {
    /** @type {{gain: number, extra: Extra}[]} */
    const gains = [];
    for (const extra of this.extrasOf(undone, dues, told)) {
      const x = weights[extra.one], y = weights[extra.other];
      if (x > 0 && y > 0) {
        const { cost } = cheapest(extra.chain, x, y);
        if (cost > 0) gains.push({ gain: cost, extra });
      }
    }
    gains.sort((a, b) => b.gain - a.gain);
    const rest = [...weights];
    let total = 0;
    for (const { extra } of gains) {
      const x = rest[extra.one], y = rest[extra.other];
      if (x > 0 && y > 0) {
        const shared = share(extra.chain, x, y);
        if (shared.gain > 0) {
          total += shared.gain;
          rest[extra.one] -= shared.x;
          rest[extra.other] -= shared.y;
        }
      }
    }
    return total;
  }

  /**
   * @param {string} undone
   * @param {Dues} dues
   * @param {number} told
   */
  extrasOf(undone, dues, told) {
    const key = `${undone} ${dues.id} ${told}`;
    let known = this.extras.get(key);
    if (!known) {
      if (this.extras.size >= KEPT) this.extras.clear();
      known = [];
      this.extras.set(key, known);
      for (const pair of this.pairs) {
        const extra = pair.beyond(undone, dues, told);
        if (extra.chain.length) known.push(extra);
      }
    }
    return known;
  }
}

/** The chains of two causes, by the steps that are left and the fees that are met. */
class Pair {
  /**
   * @param {Ledger} ledger
   * @param {number[]} steps
   * @param {number} one
   * @param {number} other
   */
  constructor(ledger, steps, one, other) {
    const { problem } = ledger;
    this.ledger = ledger;
    this.one = one;
    this.other = other;
    this.steps = steps.filter((s) => problem.chances[s].some((row) => row[one] !== row[other]));
    this.repairs = ledger.repairs.filter((e) => problem.settles[e][one] || problem.settles[e][other]);
    /** @type {Set<number>} */
    this.fees = new Set();
    for (const item of [...this.steps.map((s) => problem.steps[s]), ...this.repairs.map((e) => problem.endings[e])]) {
      for (const fee of [...item.own, ...item.shop]) this.fees.add(fee);
    }
    /** @type {Map<string, Chain>} */
    this.known = new Map();
    /** @type {Map<number, Dues>} */
    this.reduced = new Map();
    /** @type {Map<string, Extra>} */
    this.extras = new Map();
  }

  /**
   * Dues by the fees alone that have a part in the pair.
   * @param {Dues} all
   */
  dues(all) {
    let known = this.reduced.get(all.id);
    if (!known) {
      known = this.ledger.dues([...all.met].map((sign, fee) => (this.fees.has(fee) ? sign : "0")).join(""));
      this.reduced.set(all.id, known);
    }
    return known;
  }

  /**
   * What the pair costs more than if it were known; no corner where that is nothing.
   * @param {string} undone
   * @param {Dues} all
   * @param {number} told
   */
  beyond(undone, all, told) {
    const dues = this.dues(all);
    let first = -1, count = 0, bits = 0;
    for (let place = 0, bit = 1; place < this.steps.length; place++, bit *= 2) {
      const step = this.steps[place];
      if (step === told) first = told;
      else if (undone[step] === "1") {
        count++;
        bits += bit;
      }
    }
    const key = `${dues.id} ${first} ${count > EACH_ONCE ? -1 : bits}`;
    let known = this.extras.get(key);
    if (!known) {
      const x = dues.least[this.one], y = dues.least[this.other];
      const left = this.steps.filter((step) => step !== told && undone[step] === "1");
      const after = count > EACH_ONCE ? this.chainOf(this.steps, dues, LEVELS) : this.chainOf(left, dues, 0);
      /** @type {Chain} */
      const chain = (first < 0 ? after : this.told(first, after)).map(([a, b]) => [a - x, b - y]);
      const costs = chain.length > 1 || chain[0][0] > 0 || chain[0][1] > 0;
      known = { one: this.one, other: this.other, chain: costs ? chain : [] };
      this.extras.set(key, known);
    }
    return known;
  }

  /**
   * @param {number} step
   * @param {Chain} after
   * @returns {Chain}
   */
  told(step, after) {
    /** @type {Chain} */
    let chain = [[0, 0]];
    for (const row of this.ledger.problem.chances[step]) {
      const p = row[this.one], q = row[this.other];
      if (p || q) chain = sumOf(chain, scaled(after, p, q));
    }
    return chain;
  }

  /**
   * The chain with a set of steps that are left, each once, or with all of them so many levels deep.
   * @param {number[]} left
   * @param {Dues} dues
   * @param {number} level 0 where each is done once
   * @returns {Chain}
   */
  chainOf(left, dues, level) {
    const key = `${level ? "" : left} ${dues.id} ${level}`;
    let known = this.known.get(key);
    if (!known) {
      known = cut(edge([...this.ends(dues), ...this.looks(left, dues, level)]));
      this.known.set(key, known);
    }
    return known;
  }

  /**
   * The professional; and each repair, after which a cause that it does not settle is known.
   * @param {Dues} dues
   * @returns {Chain}
   */
  ends(dues) {
    const { one, other, ledger } = this;
    const { bills, settles } = ledger.problem;
    /** @type {Chain} */
    const points = [[bills[one], bills[other]]];
    for (const ending of this.repairs) {
      const { cost, met } = dues.endings[ending];
      const later = this.dues(ledger.dues(met)).least;
      const settled = settles[ending];
      points.push([settled[one] ? cost : cost + later[one], settled[other] ? cost : cost + later[other]]);
    }
    return points;
  }

  /**
   * The corners of the chains of all steps that may come next.
   * @param {number[]} left
   * @param {Dues} dues
   * @param {number} level
   * @returns {Chain}
   */
  looks(left, dues, level) {
    return left.flatMap((step) => {
      const { cost, met } = dues.steps[step];
      const later = this.dues(this.ledger.dues(met));
      const after = level ? this.deeper(later, level - 1) : this.chainOf(left.filter((one) => one !== step), later, 0);
      return this.told(step, after).map(([x, y]) => /** @type {[number, number]} */ ([cost + x, cost + y]));
    });
  }

  /**
   * @param {Dues} dues
   * @param {number} level
   * @returns {Chain}
   */
  deeper(dues, level) {
    return level ? this.chainOf(this.steps, dues, level) : [[dues.least[this.one], dues.least[this.other]]];
  }
}
