/* Shapes of the order, as in builder/reckon/order/: causes, steps and endings by their numbers; costs in the currency. */

import type { Settings as Plain } from "../../types.js";

/** What a path pays once: `own` where any owner's work needs it, else `shop`; and the money of it. */
export interface Fee { name: string; own: number; shop: number; ownMoney: number; shopMoney: number }

/** A step or an ending: `node` is its number in the model; fees by their numbers; `after` steps with results that allow it. */
export interface Item {
  name: string;
  node: number;
  cost: number;
  money: number;
  own: number[];
  shop: number[];
  after: [step: number, results: Set<number>][];
}

export interface Problem {
  weights: number[];
  bills: number[];
  fees: Fee[];
  steps: Item[];
  results: string[][];
  /** By step, result and cause. */
  chances: number[][][];
  endings: Item[];
  /** By ending and cause. */
  settles: boolean[][];
}

/** Fees that are met: a sign for each, 0 for none, 1 for a shop's, 2 for the owner's. */
export type Met = string;

/** What an item adds to what is paid, the fees that are met then, and what is due at the end. */
export interface Next { cost: number; money: number; met: Met; due: number }

/** What comes next for one who has met some fees. */
export interface Dues { id: number; met: Met; due: number; steps: Next[]; endings: Next[]; least: number[] }

/** Costs under two causes, corner by corner. */
export type Chain = [x: number, y: number][];

export type Kind = "step" | "ending" | "professional";

export interface Action {
  kind: Kind;
  number: number;
  fixed: number;
  results: number[];
  after: Node[];
  open: boolean;
  least: number;
}

/** A body of evidence. `seen` has a sign for each step: the number of its result and one, 0 where it was not done. */
export interface Node {
  seen: string;
  failed: string;
  weights: number[];
  whole: number;
  dues: Dues;
  spent: number;
  low: number;
  high: number;
  actions: Action[] | null;
}

/** Where a search begins. */
export interface Givens {
  seen: string;
  failed: string;
  weights: number[];
  met: Met;
  barred: Set<number>;
  closed: Set<number>;
  budget: number;
}

/** What is known and what has been paid, by names; see the fields. */
export interface Evidence {
  /** By step: the result, or the weights of its results where nobody is sure. */
  seen: Record<string, string | Record<string, number>>;
  /** Repairs that were done and did not help. */
  failed: string[];
  /** What costs nothing any more: access jobs opened by the owner, those that only a shop has opened, dangers met. */
  paid: Paid;
  /** Money and own minutes so far; limits alone look at them. */
  spent: { money: number; minutes: number };
}
export interface Paid { tools: string[]; access: string[]; shop: string[]; dangers: string[] }

export interface Limits {
  /** All money of the job stays within it. */
  budget?: number;
  /** Hazards that the owner does not take. */
  without?: string[];
  /** Own time that is left today; changes no cost. */
  minutes?: number;
  /** Tools that cannot be had. */
  lacking?: string[];
  /** Steps and endings that are set aside. */
  aside?: string[];
}

/** The owner's settings with their own prices of parts and tools, and their limits. */
export interface Settings extends Plain {
  parts?: Record<string, number>;
  prices?: Record<string, number>;
  limits?: Limits;
}

export interface Entry { kind: Kind; number: number; chance: number; to: Map<number, number> }

/** What a result would change; null where it cannot come up. */
export interface Outcome { name: string; chance: number; odds: number[] | null; inTheEnd: number | null }

export interface Thing {
  kind: Kind;
  name: string;
  /** In the nodes of the model; -1 for the professional. */
  node: number;
  /** That a repair puts the fault right; null for what is none. */
  chance: number | null;
  own: { money: number; minutes: number; cost: number };
  workshop: number;
  inTheEnd: number;
  bound: number;
  today: boolean;
  results: Outcome[];
}

export interface Barred { kind: "step" | "ending"; name: string; why: "aside" | "hazard" | "tool" | "after" | "budget"; what: string }

export interface Written {
  next: { kind: "step" | "ending" | "handover"; name: string; node: number };
  inTheEnd: number;
  saves: number;
  settled: number;
}

export interface Prospect {
  odds: number[];
  best: Thing;
  cost: number;
  bound: number;
  proven: boolean;
  settled: number;
  handOver: number;
  things: Thing[];
  barred: Barred[];
  written: Written | null;
}
