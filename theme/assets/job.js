/* A job: one fault on one car, from the first step to the proof. Pure functions over plain data.

   A job has legs, one a playbook (a hand-over starts the next one). A leg has its way (answers given), its ending if
   one is reached, what was done and left again (`extra`, which still counts), and causes ruled out by a repair that
   did not hold. Legs that an earlier answer has led away from stand in `elsewhere`; what was done in them counts too. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.job = (() => {
  const { reckon } = droplight;

  const now = () => new Date().toISOString();
  const newLeg = (model) => ({ slug: model.slug, title: model.title, hash: model.hash, way: [], ending: null, extra: [], ruledOut: [] });

  function create(model, settings) {
    const id = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
    const means = model.prior && reckon.expect(model, 0, model.prior, [], settings);
    return {
      droplight: "job", version: 1, id, name: model.title.slice(0, 200), created: now(), updated: now(), state: "open",
      expected: means && { money: means.money, minutes: means.minutes }, legs: [newLeg(model)], elsewhere: [],
    };
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

  /** What a step or ending counted for when it was done, for one that is no longer in its playbook. */
  function gone({ money, minutes }) {
    const fixed = (figure) => [figure, figure, figure];
    return { cost: fixed(money), time: fixed(minutes), shop: false, tools: [], parts: {}, access: [] };
  }

  /** Work done so far in the whole job, each with its answer or ending (which holds notes and real figures). */
  function done(job, models) {
    const works = [];
    for (const leg of [...job.elsewhere, ...job.legs]) {
      const model = models[leg.slug];
      const take = (name, entry) => {
        const node = (model && nodeNamed(model, name)) || (entry.counted && gone(entry.counted));
        if (node) works.push({ model, node, entry });
      };
      for (const entry of leg.extra) take(entry.step, entry);
      for (const answer of leg.way) take(answer.step, answer);
      if (leg.ending && leg.ending.done) take(leg.ending.name, leg.ending);
    }
    return works;
  }

  /** Means that a step or ending adds to the work before it; never below nothing. */
  function counted(before, model, node, settings) {
    const [after, earlier] = [reckon.bill([...before, { model, node }], settings), reckon.bill(before, settings)];
    const added = (kind) => Math.max(0, reckon.mean(after[kind]) - reckon.mean(earlier[kind]));
    return { money: added("money"), minutes: added("minutes") };
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

  /** Notes and real figures of an entry, as far as there are any. */
  const realOf = ({ note, spent, took }) =>
    Object.fromEntries(Object.entries({ note, spent, took }).filter(([, value]) => value !== undefined));
  const draftOf = (answer) => ({ step: answer.step, ...realOf(answer) });

  /** Note an answer, with the notes that were made before it was given. */
  function answer(leg, node, result, means) {
    const draft = leg.draft && leg.draft.step === node.name ? leg.draft : {};
    delete leg.draft;
    leg.way.push({
      step: node.name, title: node.title, result: result.name, expect: result.expect, hash: node.hash, at: now(),
      counted: means, ...realOf(draft),
    });
  }

  /** The ending that a way has come to, before it is done. */
  const reach = (node) => ({ name: node.name, title: node.title, at: now(), done: false, trials: [] });

  /** An ending as work that was done and left again. */
  const left = ({ name, ...ending }) => ({ step: name, ...ending });

  /** One screen back: an ending that was done is open again, else the last answer is as if it had not been given. */
  function back(job) {
    const leg = job.legs[job.legs.length - 1];
    job.state = "open";
    if (leg.ending && leg.ending.done) {
      leg.ending.done = false;
      delete leg.ending.doneAt;
    } else if (leg.way.length) {
      leg.ending = null;
      leg.draft = draftOf(leg.way.pop());
    } else if (job.legs.length > 1) {
      job.legs.pop();
      if (leg.extra.length) job.elsewhere.push(leg);
    }
  }

  /** A leg that is led away from: all that was done in it still counts. */
  function folded(leg) {
    const ended = leg.ending && leg.ending.done ? [left(leg.ending)] : [];
    return { ...leg, way: [], ending: null, extra: [...leg.extra, ...leg.way, ...ended] };
  }

  /** Give an earlier answer again; the steps after it were done and still count. */
  function change(job, legNumber, k) {
    job.elsewhere.push(...job.legs.splice(legNumber + 1).map(folded).filter(({ extra }) => extra.length));
    const leg = job.legs[legNumber];
    const [changed, ...after] = leg.way.splice(k);
    leg.extra.push(...after);
    if (leg.ending && leg.ending.done) leg.extra.push(left(leg.ending));
    leg.ending = null;
    leg.draft = draftOf(changed);
    job.state = "open";
  }

  /** The fault came back: the repair counts as done, its causes are ruled out, and the last step is looked at again. */
  function relapse(job, model) {
    const leg = job.legs[job.legs.length - 1];
    const node = nodeNamed(model, leg.ending.name);
    const trials = [...leg.ending.trials, { at: now(), clean: false }];
    leg.extra.push({ ...left(leg.ending), trials, failed: true });
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
    for (const trial of ending.trials) row = trial.clean ? row + 1 : 0;
    return row;
  }

  /** The job as YAML (flow style, which JSON is a part of) with a pointer to its schema.
      Characters that YAML 1.1 takes for line breaks, or not at all, are escaped. */
  function toYaml(job) {
    const text = JSON.stringify(job, null, 2).replace(/[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]/g,
      (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);
    return `# yaml-language-server: $schema=schema/job.json\n# A job of ${job.legs[0].slug}, to be imported on another device.\n${text}\n`;
  }

  /** The job in a file that :func:`toYaml` made; null where it is not one. */
  function fromYaml(text) {
    try {
      const job = JSON.parse(text.replace(/^\uFEFF/, "").split(/\r?\n/).filter((line) => !/^\s*#/.test(line)).join("\n"));
      return droplight.store.isJob(job) ? job : null;
    } catch {
      return null;
    }
  }

  return { create, newLeg, stand, done, counted, soFar, answer, reach, left, draftOf, back, change, relapse, cleanRow, toYaml, fromYaml };
})();
