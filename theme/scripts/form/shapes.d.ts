/* Shapes of the form: what the build ships for it (builder/publish/data/formdata.py, origin.py), and a playbook while
   it is filled in. All values are texts, as in the file. */

import type { Access, Amount, Priced, Tool } from "../types.js";

/** A file as a tree: text, lists and mappings, in their order. */
export type Tree = string | Tree[] | Map<string, Tree>;

/** Where things stand in the text of a file; see origin.py. */
export type TextPlace = [start: number, end: number, value?: string];
export type ListPlace = [start: number, end: number, items: Place[]];
export type MapPlace = [start: number, end: number, entries: [key: string, start: number, node: Place][], braces: number];
export type Place = TextPlace | ListPlace | MapPlace;

export interface Origin { path: string; text: string; tree: MapPlace; hash: string }

/** A field of a record, by its kind: a notation, `list`, `answers`, `choice`, `record` or `map`; see fields.py. */
export interface Field {
  name: string;
  label: string;
  says: string;
  kind: string;
  of: string;
  options: string[];
  required: boolean;
  example: string;
}

export interface FormHazard { name: string; signal: string; word: string; html: string; banner: boolean }

/** A check, as its file says it. */
export interface Check { title?: string; about?: string; results?: Record<string, { expect?: string; range?: string }> }

/** Words by the sign that stands for them, and patterns over signs; see builder/read/words. */
export interface WordFinder {
  whole: Record<string, string[]>;
  heads: Record<string, string[]>;
  tails: Record<string, string[]>;
  within: Record<string, string[]>;
  never: string;
  hazards: Record<string, string>;
  own: Record<string, string>;
}

export interface FormData {
  records: Record<string, Field[]>;
  notations: Record<string, { pattern: string; says: string }>;
  options: Record<string, string>;
  areas: Record<string, { title: string; implies: string[] }>;
  playbooks: Record<string, { title: string; area: string }>;
  taken: string[];
  professional: { diagnosis: Amount; unlisted: Amount | null };
  danger: number;
  edit: string | null;
  new: string | null;
  head: string;
  tools: Record<string, Tool & { hazards: string[] }>;
  parts: Record<string, Priced & { note: string; answers: string[] }>;
  access: Record<string, Access & { hazards: string[] }>;
  hazards: Record<string, FormHazard>;
  checks: Record<string, Check & Record<string, unknown>>;
  words: WordFinder[];
}

export interface Three { low: string; likely: string; high: string }
export type AmountText = string | Three;
/** Percentages by cause, `otherwise` among them; or one for all; or `rest`. */
export type ChanceText = string | [cause: string, percent: string][];
export type NextText = string | { playbook: string };

export interface ResultText { id: string; expect?: string; chance?: ChanceText; range?: string; next?: NextText; was?: string[] }

export interface WorkText {
  id: string;
  title?: string;
  do?: string;
  preconditions?: string[];
  time?: AmountText;
  wait?: AmountText;
  cost?: AmountText;
  who?: string;
  tools?: string[];
  parts?: string[] | [part: string, count: string][];
  access?: string[];
  hazards?: string[];
  no_hazards?: [hazard: string, why: string][];
  mishap?: { what?: string; chance?: string; cost?: AmountText };
  after?: string[] | [step: string, results: string[]][];
}
export interface StepText extends WorkText {
  check?: string;
  reading?: { of?: string; unit?: string };
  results: ResultText[];
}
export interface EndingText extends WorkText {
  settles?: string | string[];
  prove?: { trial?: string; shows?: string };
  results?: undefined;
}
export interface CauseText { id: string; name?: string; share?: string; note?: string }

export interface Book {
  format: string;
  title?: string;
  vehicles?: string[];
  also?: string[];
  symptom: { summary?: string; conditions?: string[]; codes?: string[] };
  preconditions?: string[];
  no_hazards?: [hazard: string, why: string][];
  causes: CauseText[];
  professional?: { diagnosis?: AmountText; unlisted?: AmountText };
  order?: string;
  start?: string;
  steps: StepText[];
  endings: EndingText[];
}

/** Something to mend or, if not severe, to think about; `at` is the control, or the part of the form, that it is about.
    `empty` says that it is only not filled in yet. */
export interface Finding { at: string; says: string; severe: boolean; empty?: boolean }

/** What is kept of a playbook while it is filled in. */
export interface Draft {
  key: string;
  /** The slug of the playbook that is improved; null for a new one. */
  slug: string | null;
  area: string;
  book: Book;
  /** The hash of the text that it began with. */
  hash: string;
  saved: string;
}

/** What all parts of the form work on. */
export interface Desk {
  data: FormData;
  draft: Draft;
  /** The file that is improved; null for a new one, and where it is not shipped. */
  origin: Origin | null;
  /** To be called after every change of the book. */
  changed: () => void;
  /** To be called where parts have come or gone; the element of this id then has the focus. */
  redraw: (focus?: string) => void;
}
