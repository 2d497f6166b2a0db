/* Whether steps and endings name the hazards that their words, and the area, call for. */

/** @import { Book, EndingText, Finding, FormData, StepText } from "./shapes.js" */
import { say } from "../site/words.js";
import { called } from "./hazardwords.js";
import { countsOf, hazardsOf } from "./modelling.js";
import { workName } from "./naming.js";

const APART = "\n\n";

/**
 * @param {Book} book its steps completed by their common checks
 * @param {string} area
 * @param {FormData} data
 * @returns {Finding[]}
 */
export function hazardFindings(book, area, data) {
  const implied = Object.hasOwn(data.areas, area) ? data.areas[area].implies : [];
  const works = [...book.steps, ...book.endings];
  return [...works.flatMap((work) => workHazards(work, workName(book, work.id), implied, data)), ...above(book, works, data)];
}

/**
 * @param {StepText | EndingText} work
 * @param {string} title
 * @param {string[]} implied
 * @param {FormData} data
 * @returns {Finding[]}
 */
function workHazards(work, title, implied, data) {
  const place = `${work.results ? "steps" : "endings"}.${work.id}`, at = `${place}.hazards`;
  const carried = hazardsOf(work, data), denied = (work.no_hazards || []).map(([name]) => name);
  /** @param {string} name */
  const isOpen = (name) => !carried.includes(name) && !denied.includes(name);
  const words = new Map([...partWords(work, data), ...called(textOf(work), data.words)]);
  const check = work.results && work.check !== undefined && Object.hasOwn(data.checks, work.check) ? data.checks[work.check] : null;
  const dropped = check ? hazardsOf(/** @type {any} */ (check), data).filter((name) => isOpen(name) && !words.has(name)) : [];
  return [
    ...[...words].filter(([name]) => isOpen(name)).map(([name, said]) => ({
      at, severe: true,
      says: say("“{title}”: “{words}” calls for the hazard “{hazard}”. Add it, or say under “More” why it does not apply.", { title, words: said, hazard: nameOf(name, data) }),
    })),
    ...dropped.map((name) => ({
      at, severe: true,
      says: say("“{title}”: its common check has the hazard “{hazard}”. Add it, or say why it does not apply.", { title, hazard: nameOf(name, data) }),
    })),
    ...implied.filter((name) => isOpen(name) && !words.has(name) && !dropped.includes(name)).map((name) => ({
      at, severe: true,
      says: say("“{title}”: work in this area has the hazard “{hazard}”. Add it, or say why it does not apply.", { title, hazard: nameOf(name, data) }),
    })),
    ...denied.filter((name) => carried.includes(name)).map((name) => ({
      at: `${place}.no_hazards`, severe: true,
      says: say("“{title}”: “{hazard}” is a hazard of it and denied as well.", { title, hazard: nameOf(name, data) }),
    })),
  ];
}

/**
 * What a hazard is called.
 * @param {string} name
 * @param {FormData} data
 */
const nameOf = (name, { hazards }) => (Object.hasOwn(hazards, name) ? hazards[name].name : name);

/**
 * What the parts call for that are needed, but for what they answer themselves.
 * @param {StepText | EndingText} work
 * @param {FormData} data
 */
function partWords(work, { parts, words }) {
  return [...countsOf(work.parts).keys()].filter((name) => Object.hasOwn(parts, name)).flatMap((name) => {
    const { name: shown, note, answers } = parts[name];
    return [...called(`${shown}${APART}${note}`, words)].filter(([hazard]) => !answers.includes(hazard));
  });
}

/**
 * All that a step or an ending says.
 * @param {StepText | EndingText} work
 */
function textOf(work) {
  const results = work.results ? [work.reading?.of, work.reading?.unit, ...work.results.map(({ expect }) => expect)] : [work.prove?.trial];
  const told = (work.do || "").replace(/\]\([^)]*\)/g, "]");
  return [work.title, told, ...(work.preconditions || []), work.mishap?.what, ...results].filter(Boolean).join(APART);
}

/**
 * Hazards that the texts above all steps call for and no step has.
 * @param {Book} book
 * @param {(StepText | EndingText)[]} works
 * @param {FormData} data
 * @returns {Finding[]}
 */
function above(book, works, data) {
  const carried = works.flatMap((work) => hazardsOf(work, data)), denied = (book.no_hazards || []).map(([name]) => name);
  const { symptom, causes } = book;
  const texts = [book.title, ...(book.also || []), symptom.summary, ...(symptom.conditions || []), ...(book.preconditions || []), ...causes.flatMap(({ name, note }) => [name, note])];
  return [...called(texts.filter(Boolean).join(APART), data.words)].filter(([name]) => !carried.includes(name) && !denied.includes(name)).map(([name, said]) => ({
    at: "no_hazards", severe: true,
    says: say("“{words}” calls for the hazard “{hazard}”, which no step and no ending has. Add it where it belongs, or say under “More” of the symptom why it does not apply.", { words: said, hazard: nameOf(name, data) }),
  }));
}
