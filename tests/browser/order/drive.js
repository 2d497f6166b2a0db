/* Reads bodies of evidence from a file and writes what the browser's engine makes of them, as JSON, for the tests. */

import { readFileSync } from "node:fs";
import { Hunt } from "./scripts/reckon/order/andor.js";
import { givensOf, odds } from "./scripts/reckon/order/givens.js";
import { chosen } from "./scripts/reckon/order/policy.js";
import { problemOf } from "./scripts/reckon/order/problem.js";
import { prospect, tells, without } from "./scripts/reckon/order/prospect.js";
import { exactSum } from "./scripts/reckon/exact.js";
import { writtenFrom } from "./scripts/reckon/order/written.js";

const { models, cases, sums } = JSON.parse(readFileSync(process.argv[2], "utf-8"));

const answers = {
  search({ model, evidence, settings, effort }) {
    const problem = problemOf(model, settings);
    const hunt = new Hunt(problem, givensOf(problem, model, evidence, settings));
    const { low, high, whole } = hunt.solve(effort);
    const { kind, number } = chosen(hunt, hunt.root).action;
    return { odds: odds(model, evidence), cost: high / whole, bound: low / whole, first: [kind, number], nodes: hunt.effort };
  },
  prospect: ({ model, evidence, settings, effort }) => prospect(model, evidence, settings, effort),
  without: ({ model, evidence, settings, name, effort }) => without(model, evidence, settings, name, effort),
  written: ({ model, evidence, settings }) => writtenFrom(model, evidence, settings),
  tells: ({ model, evidence, name }) => tells(model, evidence, name),
};

const told = cases.map((one) => answers[one.ask]({ ...one, model: models[one.model] }));
process.stdout.write(JSON.stringify({ told, sums: sums.map(exactSum) }));
