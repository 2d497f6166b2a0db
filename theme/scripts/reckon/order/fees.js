/* What steps and repairs cost next, once some fees are met, as in builder/reckon/order/fees.py. */

/** @import { Dues, Item, Met, Next, Problem } from "./shapes.js" */

const SHOP = "1";
const OWN = "2";

/**
 * Fees that are met: the owner's, and those that a shop has met.
 * @param {Problem} problem
 * @param {Iterable<number>} own
 * @param {Iterable<number>} shop
 * @returns {Met}
 */
export function metBy(problem, own, shop) {
  const signs = problem.fees.map(() => "0");
  for (const fee of shop) signs[fee] = SHOP;
  for (const fee of own) signs[fee] = OWN;
  return signs.join("");
}

/** The dues of every set of fees that is met, worked out once for each. */
export class Ledger {
  /**
   * @param {Problem} problem
   * @param {number[]} repairs endings that the owner may do
   */
  constructor(problem, repairs) {
    this.problem = problem;
    this.repairs = repairs;
    /** @type {Map<Met, Dues>} */
    this.known = new Map();
  }

  /**
   * @param {Met} met
   * @returns {Dues}
   */
  dues(met) {
    const known = this.known.get(met);
    if (known) return known;
    const { problem } = this;
    const endings = this.next(problem.endings, met);
    const least = [...problem.bills];
    for (const e of this.repairs) {
      problem.settles[e].forEach((right, c) => {
        if (right && endings[e].cost < least[c]) least[c] = endings[e].cost;
      });
    }
    const made = { id: this.known.size, met, due: this.due(met), steps: this.next(problem.steps, met), endings, least };
    this.known.set(met, made);
    return made;
  }

  /**
   * @param {Item[]} items
   * @param {Met} met
   * @returns {Next[]}
   */
  next(items, met) {
    const before = this.charge(met);
    const moneyBefore = this.money(met);
    return items.map((item) => {
      const signs = [...met];
      for (const fee of item.shop) if (signs[fee] !== OWN) signs[fee] = SHOP;
      for (const fee of item.own) signs[fee] = OWN;
      const after = signs.join("");
      return {
        cost: item.cost + this.charge(after) - before,
        money: item.money + this.money(after) - moneyBefore,
        met: after,
        due: this.due(after),
      };
    });
  }

  /** @param {Met} met */
  charge(met) {
    let charged = 0;
    this.problem.fees.forEach((fee, k) => {
      if (met[k] === OWN) charged += fee.own;
      else if (met[k] === SHOP) charged += Math.min(fee.own, fee.shop);
    });
    return charged;
  }

  /** @param {Met} met */
  money(met) {
    let money = 0;
    this.problem.fees.forEach((fee, k) => {
      if (met[k] === OWN) money += fee.ownMoney;
      else if (met[k] === SHOP) money += fee.shopMoney;
    });
    return money;
  }

  /** @param {Met} met */
  due(met) {
    let due = 0;
    this.problem.fees.forEach((fee, k) => {
      if (met[k] === SHOP && fee.shop > fee.own) due += fee.shop - fee.own;
    });
    return due;
  }
}
