/* Shapes of what the build ships (builder/publish/data/model.py) and of what scripts hand to each other.
   Money is in the currency of the site, time in minutes. The shape of a job is made from its schema: see job/shape.js. */

import type { Ending, Extra, Answer, Job, Leg } from "./made/jobschema.js";

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

/** What the owner said of their tools and prices. */
export interface Settings {
  /** What a workshop charges for an hour. */
  rate: number;
  /** What an hour of the owner's own time is worth. */
  hour: number;
  tools: Record<string, "own" | "borrow">;
}

/** Something that is paid for: with the prices that it rests on. */
export interface Work { model: Prices; node: Costs }

/** Work of a job, with its answer or ending, which holds notes and real figures. */
export interface DoneWork extends Work { entry: Answer | Ending | Extra }

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

/** What no longer fits between a leg and its playbook; `from` counts the answers that still do. */
export interface Misfit { from: number | null; why: "step" | "result" | "text"; answer: Answer }

/** Where a leg stands: number of the node, weights of the causes, the nodes that were passed. */
export interface Stand { i: number; weights: number[] | null; nodes: number[]; misfits: Misfit[] }

/** All that one screen of the walk shows. */
export interface View {
  job: Job;
  models: Models;
  leg: Leg;
  model: Model;
  where: Stand;
  settings: Settings;
  before: DoneWork[];
  node: PlaybookNode;
  /** Set once the screen has acted. */
  used?: boolean;
}

export type StepView = View & { node: StepNode };
export type EndingView = View & { node: EndingNode; leg: Leg & { ending: Ending } };

declare global {
  /** The only global: modules by their names, and what files of data and of words hand over. */
  var droplight: {
    texts?: Record<string, string>;
    take?: (kind: string, name: string, value: unknown) => void;
  };
}
