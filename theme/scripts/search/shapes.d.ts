/* Shapes of what the search is made from (builder/publish/data/search.py) and of what it answers. */

/** What the structure of any trouble code says, by its first, its first two and its first three characters; `says` tells
    people who controls a code. */
export interface Structure {
  systems: Record<string, string>;
  controls: Record<string, string>;
  subsystems: Record<string, string>;
  says: Record<string, string>;
}

/** What is known of the language of a library. Lists of words are parted by blanks, phrases of one meaning by commas. */
export interface Language {
  /** Words as they are written, the commonest first. */
  words: string;
  /** By word: how many letters its stem is shorter. */
  cuts: string;
  /** Words and stems in turn, where a cut does not say it. */
  stems: string;
  suffixes: string[];
  /** What may stand between the parts of a compound; none where there are no compounds. */
  joints: string[];
  filler: string;
  negations: string;
  /** How many words before and after it a negation turns into their opposite. */
  reach: [before: number, after: number];
  same: string[];
  akin: string[];
}

/** A name and a coded text. */
export type Named = [name: string, text: string];

/** A playbook: texts are coded; area, codes, parts and tools are places in the lists of the same name. */
export type BookData = [
  slug: string, area: number, title: string, summary: string, also: string, signs: string, codes: string, causes: string,
  steps: string, parts: string, tools: string,
];

export interface SearchData extends Language {
  books: BookData[];
  areas: Named[];
  codes: Named[];
  /** What codes mean from which no playbook starts. */
  means: Named[];
  causes: Named[];
  parts: Named[];
  tools: Named[];
  structure: Structure;
}

/** A page that was found; `note` says more about it. */
export interface Found { page: string; title: string; note: string }

/** What is known of a trouble code that somebody asked for: pages of the nearest ones if it has none of its own. */
export interface CodeFound extends Found {
  isKnown: boolean;
  system: string;
  control: string;
  subsystem: string;
  near: Found[];
}

export interface Answer {
  playbooks: Found[];
  /** How many of the playbooks answer about as well as the best. */
  good: number;
  asked: CodeFound[];
  codes: Found[];
  causes: Found[];
  parts: Found[];
  tools: Found[];
  steps: Found[];
  /** Words that nothing here says. */
  unknown: string[];
  /** Where nothing was found: words of the library that look like them. */
  near: string[];
}
