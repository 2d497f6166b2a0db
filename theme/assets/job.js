/* A job: one fault on one car, from the first step to the proof. Pure functions over plain data.

   A job has legs, one a playbook (a hand-over starts the next one). A leg has its way (answers given), its ending if
   one is reached, what was done and left again (`extra`, which still counts), and causes ruled out by a repair that
   did not hold. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.job = (() => {
  const { reckon } = droplight;

  const now = () => new Date().toISOString();
  const newLeg = (model) => ({ slug: model.slug, title: model.title, hash: model.hash, way: [], ending: null, extra: [], ruledOut: [] });

  function create(model) {
    const id = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
    return { droplight: "job", version: 1, id, name: model.title, note: "", created: now(), updated: now(), state: "open", legs: [newLeg(model)] };
  }

  const nodeNamed = (model, name) => model.nodes.find((node) => node.name === name && node.kind !== "handover");

  /** Where a leg stands in its playbook as it is now: number of the node, weights of the causes, and what no longer fits. */
  function stand(model, leg) {
    let i = 0;
    let weights = model.prior;
    const nodes = [];
    const misfits = [];
    for (const [k, answer] of leg.way.entries()) {
      const node = model.nodes[i];
      if (!node.results || node.name !== answer.step) {
        misfits.push({ from: k, why: "step", answer });
        break;
      }
      const result = node.results.find((one) => one.name === answer.result);
      if (!result) {
        misfits.push({ from: k, why: "result", answer });
        break;
      }
      if (answer.hash && answer.hash !== node.hash) misfits.push({ from: null, why: "text", answer });
      nodes.push(i);
      weights = weights && reckon.weigh(weights, result);
      i = result.to;
    }
    if (weights) weights = weights.map((weight, c) => (leg.ruledOut.includes(model.causes[c][0]) ? 0 : weight));
    return { i, weights, nodes, misfits };
  }

  /** Work done so far in the whole job, in order, each with its answer or ending (which holds notes and real figures). */
  function done(job, models) {
    const works = [];
    for (const leg of job.legs) {
      const model = models[leg.slug];
      if (!model) continue;
      const take = (name, entry) => {
        const node = nodeNamed(model, name);
        if (node) works.push({ model, node, entry });
      };
      for (const entry of leg.extra) take(entry.step, entry);
      for (const answer of leg.way) take(answer.step, answer);
      if (leg.ending && leg.ending.done) take(leg.ending.name, leg.ending);
    }
    return works;
  }

  const isFigure = (value) => typeof value === "number" && Number.isFinite(value) && value >= 0;

  /** Money and minutes so far: means, with what was really spent and how long it really took wherever that was noted. */
  function soFar(works, settings) {
    let money = 0, minutes = 0, real = false;
    let before = { money: 0, minutes: 0 };
    for (let k = 0; k < works.length; k++) {
      const bill = reckon.bill(works.slice(0, k + 1), settings);
      const sum = { money: reckon.mean(bill.money), minutes: reckon.mean(bill.minutes) };
      const { spent, took } = works[k].entry;
      money += isFigure(spent) ? spent : sum.money - before.money;
      minutes += isFigure(took) ? took : sum.minutes - before.minutes;
      real = real || isFigure(spent) || isFigure(took);
      before = sum;
    }
    return { money, minutes, real };
  }

  function answer(leg, node, result) {
    leg.way.push({ step: node.name, title: node.title, result: result.name, expect: result.expect, hash: node.hash, at: now(), ...pending(leg, node.name) });
  }

  /** Notes that were made before the answer was given. */
  function pending(leg, step) {
    const draft = leg.draft && leg.draft.step === step ? leg.draft : null;
    delete leg.draft;
    return draft ? { note: draft.note, spent: draft.spent, took: draft.took } : {};
  }

  /** Take the last answer (or the ending) back, as if it had not been given. */
  function back(job) {
    const leg = job.legs[job.legs.length - 1];
    job.state = "open";
    if (leg.ending) leg.ending = null;
    else if (leg.way.length) {
      const last = leg.way.pop();
      leg.draft = { step: last.step, note: last.note, spent: last.spent, took: last.took };
    } else if (job.legs.length > 1) {
      job.legs.pop();
      back(job);
    }
  }

  /** Give an earlier answer again; the steps after it were done and still count. */
  function change(job, legNumber, k) {
    const later = job.legs.splice(legNumber + 1);
    const leg = job.legs[legNumber];
    const left = leg.way.splice(k);
    const [changed, ...after] = left;
    leg.extra.push(...after);
    if (leg.ending && leg.ending.done) leg.extra.push({ ...leg.ending, step: leg.ending.name });
    leg.ending = null;
    leg.draft = { step: changed.step, note: changed.note, spent: changed.spent, took: changed.took };
    for (const one of later) leg.elsewhere = [...(leg.elsewhere || []), one];
    job.state = "open";
  }

  /** The fault came back: the repair counts as done, its causes are ruled out, and the last step is looked at again. */
  function relapse(job, model) {
    const leg = job.legs[job.legs.length - 1];
    const node = nodeNamed(model, leg.ending.name);
    leg.extra.push({ ...leg.ending, step: leg.ending.name, failed: true });
    if (node && node.rights) {
      model.causes.forEach(([cause], c) => { if (node.rights[c] && !leg.ruledOut.includes(cause)) leg.ruledOut.push(cause); });
    }
    leg.ending = null;
    const last = leg.way.pop();
    if (last) leg.extra.push(last);
    job.state = "open";
  }

  /** Clean trials in a row since the repair. */
  function cleanRow(ending) {
    let row = 0;
    for (const trial of ending.trials || []) row = trial.clean ? row + 1 : 0;
    return row;
  }

  /** The job as YAML (1.2, flow style, which JSON is a part of) with a pointer to its schema. */
  function toYaml(job) {
    const { updated, ...rest } = job;
    return `# yaml-language-server: $schema=schema/job.json\n# A job of ${rest.legs[0].slug}, to be imported on another device.\n${JSON.stringify({ ...rest, updated }, null, 2)}\n`;
  }

  /** The job in a file that :func:`toYaml` made; null where it is not one. */
  function fromYaml(text) {
    try {
      const job = JSON.parse(text.replace(/^\uFEFF/, "").split(/\r?\n/).filter((line) => !/^\s*#/.test(line)).join("\n"));
      if (!droplight.store.isJob(job)) return null;
      for (const leg of job.legs) {
        leg.extra = Array.isArray(leg.extra) ? leg.extra.filter((one) => one && typeof one.step === "string") : [];
        leg.ruledOut = Array.isArray(leg.ruledOut) ? leg.ruledOut.filter((cause) => typeof cause === "string") : [];
        if (!leg.ending || typeof leg.ending.name !== "string") leg.ending = null;
      }
      return job;
    } catch {
      return null;
    }
  }

  return { create, newLeg, nodeNamed, stand, done, soFar, answer, back, change, relapse, cleanRow, toYaml, fromYaml };
})();
