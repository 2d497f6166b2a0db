/* The finder: what the build listed, made ready to be searched, and what answers a query. */

/** @import { Answer, BookData, CodeFound, Found, Named, SearchData } from "./shapes.js" */
/** @import { Concept, Hit } from "./ranking.js" */
import { lists, numbers, texts } from "./coded.js";
import { asked } from "./query.js";
import { Ranking } from "./ranking.js";
import { Speech } from "./speech.js";
import { codesIn, nearest, structureOf } from "./trouble.js";

/** How much each field of a playbook counts, and how much its length. */
const FIELDS = [
  { name: "title", weight: 6, norm: 0.3 },
  { name: "also", weight: 5, norm: 0.1 },
  { name: "summary", weight: 3, norm: 0.3 },
  { name: "signs", weight: 1.5, norm: 0.2 },
  { name: "causes", weight: 2, norm: 0.2 },
  { name: "steps", weight: 0.5, norm: 0.3 },
  { name: "codes", weight: 1.5, norm: 0.3 },
  { name: "parts", weight: 0.8, norm: 0.3 },
  { name: "tools", weight: 0.4, norm: 0.3 },
  { name: "area", weight: 0.5, norm: 0 },
];
/** The parts of compounds say less than the whole. */
const PART = 0.4;
const WITH_PARTS = [...FIELDS, ...FIELDS.map(({ name, weight, norm }) => ({ name, weight: PART * weight, norm }))];
const NAME = [{ weight: 1, norm: 0.5 }, { weight: PART, norm: 0.5 }];
const NEAR_CODES = 4;
/** What scores at least such a share of the best is a good answer. */
const GOOD = 0.4;
/** What has a name of its own is shown where so much of the query is in it. */
const NAMED = 0.5;
/** Steps are looked for in so many of the playbooks that were found. */
const STEPS_OF = 10;
const MOST_NEAR = 3;
/** No list of an answer is longer. */
const MOST = 24;

/** @typedef {"codes" | "causes" | "parts" | "tools"} Kind */
/** @type {Record<Kind, string>} */
const FOLDERS = { codes: "code", causes: "cause", parts: "part", tools: "tool" };

/**
 * Those that say enough of the query.
 * @param {readonly Hit[]} hits
 */
const saying = (hits) => hits.filter(({ explained }) => explained >= NAMED).slice(0, MOST);

export class Finder {
  /** @param {SearchData} data */
  constructor(data) {
    this.data = data;
    this.speech = new Speech(data);
    this.codes = data.codes.map(([code]) => code);
    this.codesOf = data.books.map((book) => numbers(book[6]).map((place) => this.codes[place]));
    const { half } = this.speech;
    this.playbooks = new Ranking(WITH_PARTS, data.books.map((book) => this.fields(book)), 2 * half);
    const named = (/** @type {Kind} */ kind) => new Ranking(NAME, data[kind].map(([, text]) => this.whole(lists(text))), 2 * half);
    this.named = { codes: named("codes"), causes: named("causes"), parts: named("parts"), tools: named("tools") };
  }

  /**
   * The terms of a playbook, by field.
   * @param {BookData} book
   */
  fields([, area, title, summary, also, signs, codes, causes, steps, parts, tools]) {
    const { data } = this;
    const named = (/** @type {Named[]} */ list, /** @type {string} */ coded) => numbers(coded).flatMap((place) => lists(list[place][1]));
    const fields = [lists(title), lists(also), lists(summary), lists(signs), lists(causes), lists(steps),
      named(data.codes, codes), named(data.parts, parts), named(data.tools, tools), lists(data.areas[area][1])];
    const whole = fields.map((field) => this.whole(field));
    return [...whole.map(([terms]) => terms), ...whole.map(([, parts]) => parts)];
  }

  /**
   * The terms of texts, and those of the parts of compounds in them.
   * @param {number[][]} field
   */
  whole(field) {
    return [field.flatMap((text) => this.speech.termsOf(text)), field.flatMap((text) => this.speech.partTermsOf(text))];
  }

  /**
   * What answers a query: playbooks first, by how many of its codes they explain and then by its words.
   * @param {string} query
   * @param {boolean} [begun] whether its last word may still be typed
   * @returns {Answer}
   */
  find(query, begun = true) {
    const { codes, rest } = codesIn(query);
    const { concepts, unknown } = asked(rest, this.speech, begun);
    const hits = this.byCodes(codes, this.playbooks.find(concepts));
    const [best] = hits;
    const good = hits.filter((hit) => hit.codes === best.codes && hit.score >= GOOD * best.score).length;
    return {
      playbooks: hits.slice(0, MOST).map(({ place }) => this.playbook(place)),
      good: Math.min(good, MOST),
      asked: codes.map((code) => this.code(code)),
      codes: this.pages("codes", concepts),
      causes: this.pages("causes", concepts),
      parts: this.pages("parts", concepts),
      tools: this.pages("tools", concepts),
      steps: this.steps(hits.slice(0, STEPS_OF), concepts),
      unknown,
      near: hits.length || codes.length ? [] : this.speech.near(unknown, MOST_NEAR),
    };
  }

  /**
   * Hits in the order of how many codes they explain; for a code that no playbook has, those of its family count.
   * @param {readonly string[]} codes
   * @param {readonly Hit[]} hits
   */
  byCodes(codes, hits) {
    const found = new Map(hits.map((hit) => [hit.place, { ...hit, codes: 0 }]));
    for (const code of codes) {
      const wanted = this.codes.includes(code) ? [code] : this.family(code);
      this.codesOf.forEach((own, place) => {
        if (!wanted.some((one) => own.includes(one))) return;
        const hit = found.get(place) || { place, score: 0, explained: 0, codes: 0 };
        found.set(place, { ...hit, codes: hit.codes + 1 });
      });
    }
    return [...found.values()].sort((a, b) => b.codes - a.codes || b.score - a.score || a.place - b.place);
  }

  /** @param {string} code */
  family(code) {
    return nearest(code, this.codes, NEAR_CODES).filter((near) => near.slice(0, 4) === code.slice(0, 4));
  }

  /**
   * @param {number} place
   * @returns {Found}
   */
  playbook(place) {
    const [slug, , title, summary] = this.data.books[place];
    return { page: `playbook/${slug}.html`, title: this.text(title), note: this.text(summary) };
  }

  /**
   * Areas by name, with their titles.
   * @returns {Named[]}
   */
  areas() {
    return this.data.areas.map(([name, title]) => [name, this.text(title)]);
  }

  /** @param {string} coded */
  text(coded) {
    return texts(coded, this.speech.words).join(" ");
  }

  /**
   * A trouble code that somebody asked for.
   * @param {string} code
   * @returns {CodeFound}
   */
  code(code) {
    const isKnown = this.codes.includes(code);
    const near = isKnown ? [] : nearest(code, this.codes, NEAR_CODES);
    const { system, control, subsystem } = structureOf(code, this.data.structure);
    const controlled = this.data.structure.says[control];
    return { ...this.codePage(code), isKnown, system, control: controlled, subsystem, near: near.map((one) => this.codePage(one)) };
  }

  /**
   * @param {string} code
   * @returns {Found}
   */
  codePage(code) {
    const means = [...this.data.codes, ...this.data.means].find(([known]) => known === code)?.[1] || "";
    return { page: `code/${code}.html`, title: code, note: this.text(means) };
  }

  /**
   * What has a page and a name of its own, and says enough of the query.
   * @param {Kind} kind
   * @param {readonly Concept[]} concepts
   * @returns {Found[]}
   */
  pages(kind, concepts) {
    return saying(this.named[kind].find(concepts)).map(({ place }) => {
      const [name, text] = this.data[kind][place];
      return kind === "codes" ? this.codePage(name) : { page: `${FOLDERS[kind]}/${name}.html`, title: this.text(text), note: "" };
    });
  }

  /**
   * Steps of playbooks that say enough of the query.
   * @param {readonly Hit[]} hits
   * @param {readonly Concept[]} concepts
   * @returns {Found[]}
   */
  steps(hits, concepts) {
    const steps = hits.flatMap(({ place }) => lists(this.data.books[place][8]).map((text, k) => ({ place, k, text })));
    const ranking = new Ranking(NAME, steps.map(({ text }) => this.whole([text])), 2 * this.speech.half);
    return saying(ranking.find(concepts)).map((hit) => {
      const { place, k, text } = steps[hit.place];
      const { page, title } = this.playbook(place);
      return { page: `${page}#n${k + 1}`, title: text.map((number) => this.speech.words[number - 1]).join(" "), note: title };
    });
  }
}
