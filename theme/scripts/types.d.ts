/* Shapes of what the build ships (builder/publish/data/model.py) and of what scripts hand to each other.
   Money is in the currency of the site, time in minutes. The shape of a job is made from its schema: see job/shape.js. */

import type { Car, Job, Leg, Seen } from "./made/jobschema.js";
import type { Evidence, Prospect } from "./reckon/order/shapes.js";

export type Amount = [low: number, likely: number, high: number];

export interface Priced { name: string; price: Amount }
export interface Tool extends Priced { borrow: Amount | null }
export interface Access { name: string; open: Amount; close: Amount }

/** What tools, parts and access jobs cost, by their names. */
export interface Prices {
  tools: Record<string, Tool>;
  parts: Record<string, Priced>;
  access: Record<string, Access>;
}

/** What a step or an ending asks for. */
export interface Costs {
  cost: Amount;
  time: Amount;
  /** Hours that pass without hands; they cost nothing and are no part of the time. */
  wait: Amount;
  shop: boolean;
  tools: string[];
  parts: Record<string, number>;
  access: string[];
}

export interface Result {
  name: string;
  expect: string;
  html: string;
  /** The number of the node that comes next. */
  to: number;
  /** By cause; null in a playbook without odds. */
  chance: number[] | null;
  /** Where the reading lies, if the step has one; an end that is null is open. */
  range: [low: number | null, high: number | null] | null;
  was: string[];
}

/** What may go wrong while doing it, by a chance of 1, and what that then costs. */
export interface Mishap { what: string; chance: number; cost: Amount }

/** The quantity that a step measures; `other` tells a figure in the other system: factor times the figure plus offset. */
export interface Reading {
  of: string;
  unit: string;
  other: { unit: string; factor: number; offset: number; system: string } | null;
}

interface Shown extends Costs {
  name: string;
  title: string;
  number: number | null;
  banner: string[];
  /** Names of hazards, the severest first. */
  hazards: string[];
  html: string;
  hash: string;
  was: string[];
  mishap: Mishap | null;
  /** Steps that must be done before, each with the results that allow it; none: any result. */
  after: Record<string, string[]>;
  /** The hazard that keeps the owner from it, by their settings. */
  barred?: string;
}

export interface StepNode extends Shown {
  kind: "step";
  results: Result[];
  /** The common check that it is. */
  check: string | null;
  /** Whether it asks for a fact of the car. */
  car: boolean;
  reading: Reading | null;
}
export interface EndingNode extends Shown {
  kind: "ending";
  /** By cause: whether it puts it right; null in a playbook without odds. */
  rights: boolean[] | null;
  repairs: boolean;
  prove: Proof | null;
  results?: undefined;
}
export interface HandoverNode extends Costs { kind: "handover"; name: string; title: string; results?: undefined }
export type PlaybookNode = StepNode | EndingNode | HandoverNode;

/** How many clean trials prove a repair; the fault showed in a share of them. */
export interface Proof { trial: string; shows: number; needed: number }

/** A hazard with its panel as HTML; the hash changes with what is read there. */
export interface Hazard {
  name: string;
  signal: "danger" | "warning" | "caution" | "notice";
  word: string;
  html: string;
  hash: string;
}

/** One playbook; results lead to nodes of higher numbers. */
export interface Model extends Prices {
  slug: string;
  title: string;
  summary: string;
  was: string[];
  vehicles: string[];
  codes: string[];
  shows: string[];
  preconditions: string[];
  /** Names for scripts and for people, `unlisted` last; null where there are no odds. */
  causes: [name: string, title: string][] | null;
  prior: number[] | null;
  nodes: PlaybookNode[];
  /** The numbers of steps and endings in the order in which the playbook's file has them. */
  listed: { steps: number[]; endings: number[] };
  /** What an owner would pay to be spared a danger. */
  avoid_danger: number;
  /** Minutes in which a professional finds the fault, and what a fault that no ending settles then costs. */
  professional: { diagnosis: Amount; unlisted: Amount | null };
  hazards: Record<string, Hazard>;
  hash: string;
}

/** What the owner said of their tools, prices and limits, and which way they want to go. */
export interface Settings {
  /** What a workshop charges for an hour. */
  rate: number;
  /** What an hour of the owner's own time is worth. */
  hour: number;
  tools: Record<string, "own" | "borrow">;
  /** Own prices for parts, by the catalogue's names. */
  parts?: Record<string, number>;
  limits?: Limits;
  /** `best` for what is best for the owner; as the playbook is written without it. */
  way?: "best";
}

export interface Limits {
  /** All money of a job stays within it. */
  budget?: number;
  /** Hazards that the owner does not take. */
  without?: string[];
  /** Own time that there is today. */
  minutes?: number;
}

/** Something that is paid for: with the prices that it rests on. */
export interface Work { model: Prices; node: Costs }

/** Work of a job, with what it really took as far as that was noted. */
export interface DoneWork extends Work { real: { spent?: number; took?: number } }

export interface Means { money: number; minutes: number }

/** What an owner may expect: means. */
export interface Outlook extends Means { shopMoney: number }

export interface Bill {
  money: Amount;
  shopMoney: Amount;
  minutes: Amount;
  tools: Set<string>;
  parts: Map<string, number>;
  access: Map<string, { time: Amount; owner: boolean }>;
}

/** Models by slug; null where one cannot be loaded. */
export type Models = Record<string, Model | null>;

/** A step that the way of a leg has passed: by what was seen, or, where it is set aside, by its likeliest result. */
export interface Passed { i: number; seen: Seen | null; result: Result }

/** Where a leg stands in its playbook as written: number of the node, weights of the causes, the steps that were passed,
    what was seen off that way, and what was seen at steps that there are no more. A way that comes to nothing new is spent. */
export interface Stand { i: number; weights: number[] | null; passed: Passed[]; off: Seen[]; lost: Seen[]; spent: boolean }

/** All that one screen of the walk shows. */
export interface View {
  job: Job;
  models: Models;
  /** The leg of the screen, and whether it is the one in which the job stands. */
  leg: Leg;
  model: Model;
  where: Stand;
  settings: Settings;
  /** All work that was done, and what of it was done before that of this screen. */
  done: DoneWork[];
  before: DoneWork[];
  /** What is shown, and whether the owner has gone back to it. */
  node: PlaybookNode;
  again: boolean;
  /** What is known, and what may come next by it, best first; null without odds. */
  evidence: Evidence;
  prospect: Prospect | null;
  /** Whether the best for the owner comes next; else what the playbook says. */
  isBest: boolean;
  /** Whether nothing but the choice is left: handing over is best, or the way has come to nothing new. */
  isOpen: boolean;
  car: Car | null;
  /** Set once the screen has acted. */
  used?: boolean;
}

export type StepView = View & { node: StepNode };
export type EndingView = View & { node: EndingNode };

declare global {
  /** The only global: modules by their names, and what files of data and of words hand over. */
  var droplight: {
    texts?: Record<string, string>;
    take?: (kind: string, name: string, value: unknown) => void;
  };
}
