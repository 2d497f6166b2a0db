/* The walk: one step a screen, from the fault to its proof. */
"use strict";

(() => {
  const { reckon, store, figures, job: jobs, say, dom } = droplight;
  const { h, built, root } = dom;
  const place = document.getElementById("walk");
  const live = document.getElementById("walk-live");
  if (!place) return;

  const state = { told: null, turn: 0, causesOpen: false, printed: null };

  /* Words and pieces */

  const causeName = (model, c) => model.causes[c][1];
  const ranked = (model, now) => now.map((share, c) => ({ c, share, name: causeName(model, c) })).sort((a, b) => b.share - a.share);
  const button = (text, act, kind = "") => h("button", { type: "button", class: kind, onclick: act }, text);
  const announce = (text) => { live.textContent = text; };

  function keep(job) {
    store.saveJob(job);
    showProblem();
  }

  function showProblem() {
    const kind = store.problem();
    const box = document.getElementById("walk-problem");
    box.hidden = !kind;
    if (kind) {
      box.textContent = kind === "full"
        ? say("The storage of this browser is full. The walk goes on, but is lost when you close the page: take the job away as a file first, or delete old jobs.")
        : say("This browser does not let the site keep anything. The walk goes on, but is lost when you close the page: take the job away as a file first.");
    }
  }

  function go(hash) {
    if (location.hash === hash) draw();
    else location.hash = hash;
  }

  /* The list of jobs and the settings */

  function drawList() {
    const { sound, damaged } = store.jobs();
    const rows = sound.map((job) => h("li", { class: "row" },
      h("a", { class: "row-title", href: `#job=${job.id}` }, job.name),
      h("p", {}, [stateName(job), " · ", job.legs.map((leg) => leg.title).join(" → ")]),
      h("p", { class: "small" }, say("Last touched {date}", { date: figures.date(job.updated) })),
    ));
    const broken = damaged.map((entry) => h("li", { class: "row" },
      h("p", {}, say("A job here is damaged and cannot be opened. Everything else is unharmed.")),
      h("p", { class: "buttons" },
        button(say("Save what is left of it"), () => dom.download("damaged-job.txt", "text/plain", entry.text || "")),
        button(say("Delete it"), () => { if (confirm(say("Delete this job for good?"))) { store.removeEntry(entry.name); drawList(); } }, "quiet")),
    ));
    place.replaceChildren(
      h("h1", { tabindex: "-1" }, say("Jobs on this device")),
      sound.length + damaged.length
        ? h("ul", { class: "rows" }, rows, broken)
        : h("p", { class: "lead" }, say("No job yet. Pick what the car is doing and start a walk from its playbook.")),
      h("p", { class: "buttons" }, h("a", { class: "button", href: `${root}index.html` }, say("What is the car doing?"))),
      h("h2", {}, say("Bring a job from another device")),
      h("p", {}, h("label", { for: "import" }, say("Job file:")), " ", h("input", { id: "import", type: "file", accept: ".yaml,.yml,.json,text/plain", onchange: importJob })),
      h("p", { id: "import-said", role: "status" }),
      h("p", {}, h("a", { href: `${root}settings.html` }, say("Your tools and prices"))),
    );
    document.title = say("Jobs on this device");
  }

  async function importJob(event) {
    const said = document.getElementById("import-said");
    const file = event.target.files[0];
    if (!file) return;
    const job = file.size < 2e6 ? jobs.fromYaml(await file.text()) : null;
    if (!job) {
      said.textContent = say("This file is not a job that a walk has saved.");
      return;
    }
    const here = store.job(job.id);
    if (here && !confirm(say("This job is on this device already. Replace it by the one in the file?"))) return;
    keep(job);
    go(`#job=${job.id}`);
  }

  function stateName(job) {
    if (job.state === "done") return say("Done");
    if (job.state === "proving") return say("Repaired, being proven");
    return say("Open");
  }

  /* A job */

  async function start(slug) {
    const open = store.jobs().sound.filter((job) => job.state !== "done" && job.legs[job.legs.length - 1].slug === slug);
    if (!open.length) return begin(slug);
    const model = await dom.model(slug);
    place.replaceChildren(
      h("h1", { tabindex: "-1" }, model.title),
      h("p", { class: "lead" }, say("You have an open job for this.")),
      h("div", { class: "results" },
        open.map((job) => h("a", { class: "button", href: `#job=${job.id}` }, say("Go on with “{name}” of {date}", { name: job.name, date: figures.date(job.created) }))),
        button(say("Start a new job (another car, another fault)"), () => begin(slug), "quiet")),
    );
  }

  async function begin(slug) {
    const job = jobs.create(await dom.model(slug), store.settings());
    keep(job);
    history.replaceState(null, "", `#job=${job.id}`);
    draw();
  }

  /** The models of all playbooks of a job and of the one that it hands over to, as far as they can be loaded. */
  async function modelsOf(job) {
    const models = Object.create(null);
    const take = async (slug) => { models[slug] = await dom.model(slug).catch(() => null); };
    for (const { slug } of [...job.legs, ...job.elsewhere]) await take(slug);
    const leg = job.legs[job.legs.length - 1];
    const model = models[leg.slug];
    const node = model && model.nodes[jobs.stand(model, leg).i];
    if (node && node.kind === "handover" && !(node.name in models)) await take(node.name);
    return models;
  }

  async function drawJob(id) {
    const turn = state.turn;
    const job = store.job(id);
    if (!job) {
      place.replaceChildren(
        h("h1", { tabindex: "-1" }, say("This job is not on this device")),
        h("p", {}, h("a", { href: "#" }, say("Jobs on this device"))));
      return;
    }
    const models = await modelsOf(job);
    if (turn !== state.turn) return;
    const leg = job.legs[job.legs.length - 1];
    if (!models[leg.slug]) return drawMissing(job, leg);
    const model = models[leg.slug];
    const where = jobs.stand(model, leg);
    const settings = store.settings();
    const before = jobs.done(job, models);
    const view = { job, models, leg, model, where, settings, before, node: model.nodes[where.i] };
    fitAgain(view);
    document.title = `${view.node.title} · ${job.name}`;
    place.replaceChildren(
      meter(view),
      h("p", { class: "crumbs" }, h("a", { href: "#" }, say("Jobs")), " › ", h("a", { href: `${root}playbook/${leg.slug}.html` }, model.title)),
      ...changes(view),
      body(view),
      tail(view),
    );
    state.printed = [job, models, settings];
    fitMeter();
    showProblem();
  }

  /** With large letters on a small screen the meter would hide what it stands above; then it scrolls with the page. */
  function fitMeter() {
    const box = document.getElementById("meter");
    if (box) box.classList.toggle("tall", box.offsetHeight > innerHeight / 3);
  }

  function drawMissing(job, leg) {
    place.replaceChildren(
      h("h1", { tabindex: "-1" }, job.name),
      h("p", { class: "lead" }, say("The playbook “{title}” cannot be loaded. It was removed from the site, or you are offline and have not kept the site on this device. The job is safe.", { title: leg.title })),
      takeAway(job, {}, store.settings()),
      h("p", {}, h("a", { href: "#" }, say("Jobs on this device"))));
  }

  /** If the playbook changed under the job: keep what still fits, and say what does not. */
  function fitAgain(view) {
    const { leg, model, where } = view;
    const gone = where.misfits.find((misfit) => misfit.from !== null);
    const texts = where.misfits.filter((misfit) => misfit.why === "text");
    const changed = [];
    if (gone) {
      changed.push(gone.why === "step"
        ? say("The step “{step}” is no longer there, or no longer here.", { step: gone.answer.title })
        : say("The result “{result}” of “{step}” is no longer there.", { result: gone.answer.expect, step: gone.answer.title }));
      const after = leg.way.splice(gone.from);
      if (gone.why === "result") leg.draft = jobs.draftOf(after.shift());
      leg.extra.push(...after);
    }
    texts.forEach(({ answer }) => changed.push(say("The step “{step}” reads differently now.", { step: answer.title })));
    if (leg.ending && (gone || view.node.kind !== "ending" || leg.ending.name !== view.node.name)) {
      if (!gone) changed.push(say("The path ends elsewhere now."));
      if (leg.ending.done) leg.extra.push(jobs.left(leg.ending));
      leg.ending = null;
      view.job.state = "open";
    }
    if (!changed.length && leg.hash === model.hash) return;
    leg.changed = changed.length ? changed : [say("What you have answered stays as it was. Figures, or texts of other steps, may differ.")];
    leg.hash = model.hash;
    leg.read = [];
    where.nodes.forEach((i, k) => { leg.way[k].hash = model.nodes[i].hash; });
    view.before = jobs.done(view.job, view.models);
    keep(view.job);
  }

  function changes({ job, leg, models }) {
    const notes = [];
    if (leg.changed && leg.changed.length) {
      notes.push(h("section", { class: "note", role: "status" },
        h("p", {}, h("b", {}, say("The playbook has changed since you started."))),
        h("ul", {}, leg.changed.map((text) => h("li", {}, text))),
        h("p", {}, say("You carry on where it still fits.")),
        button(say("Understood"), () => { delete leg.changed; keep(job); draw(); }, "quiet")));
    }
    const missing = [...job.elsewhere, ...job.legs].filter(({ slug }) => !models[slug]).map(({ title }) => title);
    if (missing.length) {
      notes.push(h("p", { class: "note" }, say("An earlier playbook of this job cannot be loaded; what was done there counts as it did then: {names}", { names: missing.join(", ") })));
    }
    if (state.told && state.told.id === job.id) {
      notes.push(h("p", { class: "told" }, state.told.text));
      state.told = null;
    }
    return notes;
  }

  /* Always in view: so far, still to come, how the causes stand */

  /** What another playbook is expected to cost to one who has done `before`. */
  function outlookThere(model, before, settings) {
    if (!model || !model.prior) return null;
    const most = reckon.within(model, 0, model.prior, before, settings, [0.95]);
    return { ...reckon.expect(model, 0, model.prior, before, settings), most: most && most[0] };
  }

  function outlook({ model, models, where, before, settings, leg }) {
    const node = model.nodes[where.i];
    if (node.kind === "handover") return outlookThere(models[node.name], before, settings);
    if (leg.ending && leg.ending.done) return { money: 0, minutes: 0, most: null };
    if (where.weights && reckon.shares(where.weights)) {
      const means = reckon.expect(model, where.i, where.weights, before, settings);
      const most = reckon.within(model, where.i, where.weights, before, settings, [0.95]);
      return { money: means.money, minutes: means.minutes, most: most && most[0] };
    }
    if (node.results) return null;
    const bill = reckon.bill([...before, { model, node }], settings);
    const spent = reckon.bill(before, settings);
    return { money: reckon.mean(bill.money) - reckon.mean(spent.money), minutes: reckon.mean(bill.minutes) - reckon.mean(spent.minutes), most: null };
  }

  function meter(view) {
    const { model, where, before, settings } = view;
    const spent = jobs.soFar(before, settings);
    const next = outlook(view);
    const now = where.weights && reckon.shares(where.weights);
    const cells = [
      h("div", {}, h("span", { class: "label" }, spent.real ? say("So far, in part as noted") : say("So far")),
        h("b", { "data-figure": "so-far" }, figures.money(spent.money)), h("span", { class: "time", "data-figure": "so-far-time" }, figures.minutes(spent.minutes))),
      h("div", {}, h("span", { class: "label" }, say("Probably to come")),
        h("b", { "data-figure": "to-come" }, next ? figures.about(next.money) : "–"),
        h("span", { class: "time", "data-figure": "to-come-time" }, next ? figures.minutes(next.minutes) : say("no odds here")),
        next && next.most !== null && next.most > next.money + 0.5
          ? h("span", { class: "bound", "data-figure": "at-most" }, say("19 of 20: {money} or less", { money: figures.about(next.most) })) : null),
    ];
    const causes = now && h("details", { class: "causes", open: state.causesOpen, ontoggle: (event) => { state.causesOpen = event.target.open; } },
      h("summary", {}, ranked(model, now).slice(0, 2).map(({ name, share }) => h("span", {}, `${name} `, h("b", {}, figures.share(share)), " "))),
      h("ul", { class: "bars" }, ranked(model, now).map(({ name, share }) => h("li", {}, h("span", {}, name), h("b", {}, figures.share(share)), dom.bar(share)))));
    return h("section", { id: "meter", class: "meter", "aria-label": say("Where you stand") }, h("div", { class: "meter-figures" }, cells), causes);
  }

  /* One screen */

  function body(view) {
    const { leg, node } = view;
    if (node.kind === "handover") return handOver(view);
    if (node.banner.length && !(leg.read || []).includes(node.name)) return gate(view);
    return node.kind === "step" ? step(view) : ending(view);
  }

  /** What must hold before the first step of a playbook. */
  function firstOf({ model, leg }) {
    return !leg.way.length && model.preconditions.length
      ? h("section", { class: "first" }, h("h2", {}, say("Before you start")), h("ul", { class: "ticks" }, model.preconditions.map((html) => built(html, "li"))))
      : null;
  }

  /** What a step asks for that does not cost again: bought or owned, open, borrowed for less. */
  function already({ node, model, before, settings }) {
    const done = reckon.bill(before, settings);
    const priced = node.tools.filter((tool) => reckon.mean(model.tools[tool].price));
    const names = (of, kind) => of.map((name) => model[kind][name].name).join(", ");
    const at = (tool) => (done.tools.has(tool) ? "had" : settings.tools[tool]);
    const rows = [
      [say("Yours, costs nothing: {names}"), priced.filter((tool) => at(tool) === "own"), "tools"],
      [say("Borrowed: {names}"), priced.filter((tool) => at(tool) === "borrow" && model.tools[tool].borrow), "tools"],
      [say("You have it from an earlier step: {names}"), priced.filter((tool) => at(tool) === "had"), "tools"],
      [say("Open already: {names}"), node.access.filter((job) => done.access.has(job)), "access"],
    ].filter(([, of]) => of.length);
    return rows.length ? h("p", { class: "small already" }, rows.map(([text, of, kind]) => h("span", {}, `${text.replace("{names}", () => names(of, kind))}. `))) : null;
  }

  function heading(view) {
    const { node } = view;
    return h("h1", { tabindex: "-1" }, node.kind === "step" ? h("span", { class: "number" }, String(node.number)) : null, " ", node.title,
      node.shop ? h("span", { class: "stamp" }, say("workshop only")) : null);
  }

  function costLine(view) {
    const { node, model, before, settings } = view;
    const one = reckon.bill([...before, { model, node }], settings);
    const spent = reckon.bill(before, settings);
    const own = (kind) => one[kind].map((figure, k) => figure - spent[kind][k]);
    const [money, minutes] = [own("money"), own("minutes")];
    return h("p", { class: "cost" },
      h("span", {}, figures.money(money[1]), money[0] !== money[2] ? h("small", {}, ` (${figures.range(money[0], money[2], figures.money)})`) : null),
      h("span", {}, figures.minutes(minutes[1]), minutes[0] !== minutes[2] ? h("small", {}, ` (${figures.range(minutes[0], minutes[2], figures.minutes)})`) : null));
  }

  /** Timing and lifting: the dangers first; what to do only after they were acknowledged. */
  function gate(view) {
    const { node, leg, job } = view;
    return h("article", { class: "card gate" }, heading(view), built(node.hazards), firstOf(view), costLine(view),
      h("div", { class: "results" },
        button(say("I have read this and will work that way"), () => {
          leg.read = [...(leg.read || []), node.name];
          keep(job);
          draw();
        })),
      h("p", {}, say("Not sure that you can? Stop here and hand the car to a professional; the job keeps what you have found out.")));
  }

  function step(view) {
    const { node, where, job, leg } = view;
    return h("article", { class: "card" }, heading(view), built(node.hazards), firstOf(view), built(node.html), already(view), costLine(view),
      h("h2", {}, say("What do you see?")),
      h("div", { class: "results" }, node.results.map((result) => h("button", { type: "button", "data-result": result.name, onclick: () => give(view, result) }, built(result.html, "span"), ledWrong(view, result))), node.results.length > 1 ? notSure(view) : null),
      notes(view, draftOf(leg, node.name)),
      where.weights && !reckon.shares(where.weights) ? h("p", { class: "note" }, say("By the odds of this playbook, these results do not happen together, or every cause it names is ruled out. Look at the answers again, or hand over to a professional.")) : null);
  }

  /** Whether a repair was done in this leg and did not hold. */
  const failed = (leg, name) => leg.extra.some((one) => one.failed && one.step === name);

  function ledWrong({ leg, model }, result) {
    const target = model.nodes[result.to];
    return target.kind === "ending" && failed(leg, target.name) ? h("small", {}, ` – ${say("led to the repair that did not hold")}`) : null;
  }

  function draftOf(leg, name) {
    if (!leg.draft || leg.draft.step !== name) leg.draft = { step: name };
    return leg.draft;
  }

  function notSure(view) {
    const { node, model, where } = view;
    const rows = node.results.map((result) => {
      const after = where.weights && reckon.weigh(where.weights, result);
      const chance = after && reckon.shares(where.weights) ? after.reduce((a, b) => a + b, 0) / where.weights.reduce((a, b) => a + b, 0) : null;
      const shares = after && reckon.shares(after);
      const top = shares && ranked(model, shares)[0];
      return { result, chance, top };
    });
    const favourite = rows.every(({ chance }) => chance !== null) ? rows.reduce((a, b) => (b.chance > a.chance ? b : a)) : null;
    return h("details", { class: "not-sure" }, h("summary", {}, say("Not sure")),
      h("p", {}, say("Read what each result looks like, do the step once more if you can, and look for the one that fits in every word:")),
      h("ul", {}, rows.map(({ result, chance, top }) => h("li", {}, h("b", {}, result.expect),
        chance === null ? null : h("span", {}, ` – ${say("to be expected in {share} of cases like yours", { share: figures.share(chance) })}`),
        top ? h("span", {}, `. ${say("It would speak for: {cause} ({share})", { cause: top.name, share: figures.share(top.share) })}`) : null))),
      favourite ? h("p", {}, say("The odds favour: “{expect}”. They do not know your car: what you see counts.", { expect: favourite.result.expect })) : null);
  }

  /** Whether a screen may still act: the second of two quick taps must not answer the next step. */
  function once(view) {
    const first = !view.used;
    view.used = true;
    return first;
  }

  function give(view, result) {
    if (!once(view)) return;
    const { job, leg, node, model, where, before, settings } = view;
    const earlier = where.weights && reckon.shares(where.weights);
    jobs.answer(leg, node, result, jobs.counted(before, model, node, settings));
    const later = where.weights && reckon.shares(reckon.weigh(where.weights, result));
    state.told = { id: job.id, text: difference(model, node, result, earlier, later) };
    const target = model.nodes[result.to];
    if (target.kind === "ending") leg.ending = jobs.reach(target);
    keep(job);
    announce(state.told.text);
    draw();
  }

  /** What an answer has changed, in a sentence: the cause that moved most. */
  function difference(model, node, result, earlier, later) {
    const said = say("“{result}” is noted.", { result: result.expect });
    if (!earlier || !later) return said;
    const moved = later.map((share, c) => ({ c, by: share - earlier[c] })).sort((a, b) => Math.abs(b.by) - Math.abs(a.by))[0];
    if (Math.abs(moved.by) < 0.005) return `${said} ${say("It changes nothing about the causes.")}`;
    return `${said} ${say("{cause}: {before} → {after}", { cause: causeName(model, moved.c), before: figures.share(earlier[moved.c]), after: figures.share(later[moved.c]) })}`;
  }

  function handOver(view) {
    const { job, node, models } = view;
    const next = models[node.name];
    const act = () => {
      if (!once(view)) return;
      job.legs.push(jobs.newLeg(next));
      state.told = { id: job.id, text: say("The same job, now in the playbook “{title}”.", { title: next.title }) };
      keep(job);
      announce(state.told.text);
      draw();
    };
    return h("article", { class: "card" },
      h("h1", { tabindex: "-1" }, say("Go on in the playbook “{title}”", { title: node.title })),
      h("p", {}, say("It is the same job: the totals go on, tools that you have bought and panels that are open stay so.")),
      next
        ? h("div", { class: "results" }, button(say("Go on"), act))
        : h("p", { class: "note" }, say("The playbook “{title}” cannot be loaded. It was removed from the site, or you are offline and have not kept the site on this device. The job is safe.", { title: node.title })));
  }

  function ending(view) {
    const { node, leg, job } = view;
    if (!leg.ending) leg.ending = jobs.reach(node);
    if (!leg.ending.done) {
      const sure = chanceRight(view);
      const again = failed(leg, node.name);
      return h("article", { class: "card ending" }, heading(view),
        again ? h("p", { class: "note" }, say("You have done this already and it did not hold. Buy nothing for it again: look at your last answer once more, or hand over to a professional.")) : null,
        built(node.hazards),
        sure !== null && node.repairs && !again ? h("p", {}, say("By the odds this puts the fault right in {share} of the cases that come this way.", { share: figures.share(sure) })) : null,
        built(node.html), already(view), costLine(view),
        h("div", { class: "results" }, button(again ? say("Done all the same") : node.repairs ? say("The repair is done") : say("Done: close the job here"), () => {
          if (!once(view)) return;
          leg.ending.done = true;
          leg.ending.doneAt = new Date().toISOString();
          leg.ending.counted = jobs.counted(view.before, view.model, node, view.settings);
          job.state = node.repairs ? "proving" : "done";
          keep(job);
          draw();
        }, again ? "quiet" : "")),
        notes(view, leg.ending));
    }
    return h("article", { class: "card ending" }, heading(view), node.prove ? proof(view) : node.repairs ? held(view) : h("p", { class: "lead" }, say("The job is closed.")), sums(view), notes(view, leg.ending));
  }

  function chanceRight({ node, where }) {
    const now = where.weights && reckon.shares(where.weights);
    return now && node.rights ? now.reduce((sum, share, c) => sum + (node.rights[c] ? share : 0), 0) : null;
  }

  /** Clean trials counted, until one can be sure. */
  function proof(view) {
    const { node, leg, job } = view;
    const { needed, shows, trial } = node.prove;
    const clean = jobs.cleanRow(leg.ending);
    const left = Math.max(0, needed - clean);
    const proven = left === 0;
    const undo = () => {
      leg.ending.trials.pop();
      job.state = jobs.cleanRow(leg.ending) >= needed ? "done" : "proving";
      keep(job);
      announce(say("The last trial is taken back."));
      draw();
    };
    const add = () => {
      if (!once(view)) return;
      leg.ending.trials.push({ at: new Date().toISOString(), clean: true });
      if (jobs.cleanRow(leg.ending) >= needed) job.state = "done";
      keep(job);
      announce(say("{count} clean trials in a row; {sure} sure.", { count: jobs.cleanRow(leg.ending), sure: figures.share(reckon.sureAfter(shows, jobs.cleanRow(leg.ending))) }));
      draw();
    };
    return h("section", { class: "proof" },
      h("h2", {}, proven ? say("Proven") : say("Prove it")),
      h("p", {}, h("b", {}, say("One trial: {trial}", { trial })), " ", say("While the fault was there it showed in {share} of the trials.", { share: figures.share(shows) })),
      h("dl", { class: "figures" },
        figure(say("Clean in a row"), `${clean} / ${needed}`),
        figure(say("Proof from your trials"), figures.share(reckon.sureAfter(shows, clean))),
        figure(say("Still to go"), String(left))),
      proven ? h("p", { class: "lead" }, say("You can be 95 % sure and more that the fault is gone.")) : null,
      h("div", { class: "results" },
        button(say("One more clean trial today"), add),
        button(say("The fault came back"), () => comeBack(view), "quiet")),
      leg.ending.trials.length ? [
        h("ol", { class: "trials" }, leg.ending.trials.map((one) => h("li", {}, `${figures.date(one.at)}: ${one.clean ? say("clean") : say("fault showed")}`))),
        button(say("Take the last trial back"), undo, "small-button"),
      ] : null);
  }

  /** A repair without trials of its own: the car is used as it failed. */
  function held(view) {
    const { job, leg, model } = view;
    const gone = () => {
      leg.ending.held = true;
      job.state = "done";
      keep(job);
      draw();
    };
    return h("section", { class: "proof" },
      h("h2", {}, leg.ending.held ? say("Proven") : say("Prove it")),
      leg.ending.held
        ? h("p", { class: "lead" }, say("The job is done. If the fault comes back, open it again here."))
        : h("p", { class: "lead" }, say("Done, but not proven. Use the car the way in which the fault showed: {conditions}", { conditions: model.shows.join(" · ") || model.summary })),
      h("div", { class: "results" },
        leg.ending.held ? null : button(say("The fault is gone"), gone),
        button(say("The fault came back"), () => comeBack(view), "quiet")));
  }

  function comeBack(view) {
    if (!once(view)) return;
    const { job, model } = view;
    jobs.relapse(job, model);
    state.told = { id: job.id, text: say("The repair did not hold. It still counts, its causes are ruled out, and the last step is open again; you can also change an earlier answer below.") };
    keep(job);
    announce(state.told.text);
    draw();
  }

  function figure(label, value, note) {
    return h("div", { class: "figure" }, h("dt", {}, label), h("dd", {}, h("span", { class: "big" }, value), note ? h("small", {}, note) : null));
  }

  /** The whole job against what was expected when it began. */
  function sums({ job, before, settings }) {
    const spent = jobs.soFar(before, settings);
    const { expected } = job;
    const shop = reckon.mean(reckon.bill(before, settings).shopMoney);
    return h("section", { id: "sums" }, h("h2", {}, say("What the job came to")),
      h("dl", { class: "figures" },
        figure(say("Money"), figures.money(spent.money), expected ? say("expected at the start: {money}", { money: figures.about(expected.money) }) : null),
        figure(say("Time"), figures.minutes(spent.minutes), expected ? say("expected at the start: {time}", { time: figures.minutes(expected.minutes) }) : null),
        figure(say("A workshop would have asked"), figures.about(shop)),
        settings.hour ? figure(say("With your own time counted"), figures.about(spent.money + spent.minutes / 60 * settings.hour)) : null));
  }

  /* Notes and real figures of one step or ending */

  function notes(view, entry) {
    const save = () => keep(view.job);
    const again = (id, make) => { if (document.getElementById(id)) document.getElementById(id).replaceWith(make(view)); };
    const number = (name, label, id) => h("p", {}, h("label", { for: id }, label), " ",
      h("input", { id, type: "text", maxlength: "12", inputmode: "decimal", value: entry[name] ?? "", onchange: (event) => {
        // A comma or a point, as the owner writes it.
        const typed = event.target.value.trim().replace(",", ".");
        if (/^\d+(\.\d+)?$/.test(typed)) entry[name] = Number(typed);
        else delete entry[name];
        event.target.value = entry[name] ?? "";
        save();
        again("meter", meter);
        fitMeter();
        again("sums", sums);
      } }));
    return h("details", { class: "notes-of", open: Boolean(entry.note || entry.spent !== undefined || entry.took !== undefined) }, h("summary", {}, say("Notes, and what it really cost")),
      h("p", {}, h("label", { for: "note" }, say("Notes")), h("textarea", { id: "note", rows: "3", maxlength: "5000", oninput: (event) => { entry.note = event.target.value; save(); } }, entry.note || "")),
      number("spent", say("Really spent ({currency})", { currency: document.documentElement.dataset.currency }), "spent"),
      number("took", say("Really took (minutes)"), "took"));
  }

  /* Below each screen: back, what was answered, taking the job away */

  function tail(view) {
    const { job, models, settings, model } = view;
    const canGoBack = job.legs.length > 1 || job.legs[0].way.length > 0;
    return h("section", { class: "tail" },
      h("p", { class: "buttons" },
        canGoBack ? button(say("Back"), () => { jobs.back(job); keep(job); draw(); }, "quiet") : null,
        h("a", { class: "button quiet", href: "#" }, say("Pause")),
        button(say("Stop and hand over"), () => handToProfessional(view), "quiet")),
      answered(view),
      h("details", {}, h("summary", {}, say("The whole way at a glance")), h("p", {}, h("a", { href: `${root}flow/${model.slug}.svg` }, say("Flowchart of “{title}”", { title: model.title })))),
      takeAway(job, models, settings));
  }

  /** Stopping is always right: what is known goes along. */
  function handToProfessional({ job, models, settings }) {
    saveReport(job, models, settings);
    const text = say("The report is saved as a file: give it to the professional. The job stays here.");
    state.told = { id: job.id, text };
    announce(text);
    draw();
  }

  /** What was done in a leg and left again. */
  function offPath(job, leg) {
    return leg.extra.map((entry, k) => h("li", { class: "small" }, `${entry.title} – ${entry.failed ? say("repaired, but the fault came back") : say("done, off the path now; still counts")} `,
      button(say("Does not count"), () => { leg.extra.splice(k, 1); keep(job); draw(); }, "small-button")));
  }

  function answered({ job }) {
    const rows = job.legs.flatMap((leg, l) => [
      ...leg.way.map((entry, k) => h("li", {}, h("b", {}, entry.title), ": ", entry.expect, entry.note ? h("span", { class: "small" }, ` “${entry.note}”`) : null, " ",
        button(say("Change"), () => { jobs.change(job, l, k); keep(job); draw(); }, "small-button"))),
      ...offPath(job, leg),
    ]).concat(job.elsewhere.flatMap((leg) => offPath(job, leg)));
    return rows.length ? h("details", { class: "answered" }, h("summary", {}, say("Your answers ({count})", { count: rows.length })), h("ol", {}, rows)) : null;
  }

  function takeAway(job, models, settings) {
    return h("details", { class: "take-away" }, h("summary", {}, say("Name, take away, delete")),
      h("p", {}, h("label", { for: "job-name" }, say("Name of this job (which car?)")), h("input", { id: "job-name", type: "text", maxlength: "80", value: job.name, onchange: (event) => { job.name = event.target.value.trim() || job.name; keep(job); } })),
      h("p", { class: "buttons" },
        button(say("Report as text"), () => saveReport(job, models, settings), "quiet"),
        button(say("Job file (YAML)"), () => dom.download(`${fileName(job)}.yaml`, "application/yaml", jobs.toYaml(job)), "quiet"),
        button(say("Print"), () => print(), "quiet"),
        button(say("Delete this job"), () => { if (confirm(say("Delete this job for good?"))) { store.removeEntry(`job:${job.id}`); go("#"); } }, "quiet")));
  }

  /** A name for files of a job: what its owner calls it. */
  function fileName(job) {
    const words = job.name.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[a-z0-9]+/g) || [];
    return words.join("-").slice(0, 60) || job.id;
  }

  function saveReport(job, models, settings) {
    dom.download(`${fileName(job)}.txt`, "text/plain;charset=utf-8", report(job, models, settings));
  }

  /** The job as plain text. */
  function report(job, models, settings) {
    const works = jobs.done(job, models);
    const spent = jobs.soFar(works, settings);
    const lines = [job.name, "=".repeat(job.name.length), "", `${say("State")}: ${stateName(job)}`, `${say("Started")}: ${figures.date(job.created)}`,
      `${say("So far")}: ${figures.money(spent.money)}, ${figures.minutes(spent.minutes)}`, `${say("A workshop would have asked")}: ${figures.about(reckon.mean(reckon.bill(works, settings).shopMoney))}`, ""];
    for (const leg of [...job.legs, ...job.elsewhere]) {
      lines.push(leg.title, "-".repeat(leg.title.length));
      const entry = (one, text) => {
        lines.push(`- ${figures.date(one.at)}  ${text}`);
        if (one.note) lines.push(...one.note.split("\n").map((line) => `    ${line}`));
        if (one.spent !== undefined) lines.push(`    ${say("Really spent")}: ${figures.money(one.spent)}`);
        if (one.took !== undefined) lines.push(`    ${say("Really took")}: ${figures.minutes(one.took)}`);
      };
      const off = leg.extra.map((one) => [one, `${one.title}${one.expect ? `: ${one.expect}` : ""} (${one.failed ? say("repaired, but the fault came back") : say("done, off the path now; still counts")})`]);
      const on = leg.way.map((one) => [one, `${one.title}: ${one.expect}`]);
      [...off, ...on].sort(([a], [b]) => String(a.at).localeCompare(String(b.at))).forEach(([one, text]) => entry(one, text));
      if (leg.ending) {
        entry(leg.ending, `${leg.ending.title}${leg.ending.done ? "" : ` (${say("not done yet")})`}`);
        leg.ending.trials.forEach((one) => lines.push(`    ${figures.date(one.at)}  ${one.clean ? say("clean trial") : say("fault showed")}`));
      }
      lines.push("");
    }
    return `${lines.join("\n")}\n`;
  }

  /** However a job is printed, its report is what comes out. */
  addEventListener("beforeprint", () => {
    if (!state.printed || document.querySelector(".print-report")) return;
    document.body.append(h("pre", { class: "print-report" }, report(...state.printed)));
    document.documentElement.classList.add("printing-report");
  });
  addEventListener("afterprint", () => {
    document.querySelectorAll(".print-report").forEach((sheet) => sheet.remove());
    document.documentElement.classList.remove("printing-report");
  });

  /* Which screen */

  async function draw(focus = true) {
    state.printed = null;
    const [, kind, name] = /^#(\w+)=([a-z0-9-]+)$/.exec(location.hash) || [];
    const turn = ++state.turn;
    try {
      if (kind === "start") await start(name);
      else if (kind === "job") await drawJob(name);
      else drawList();
    } catch (error) {
      place.replaceChildren(
        h("h1", { tabindex: "-1" }, say("This cannot be shown")),
        h("p", {}, say("The playbook cannot be loaded. It was removed from the site, or you are offline and have not kept the site on this device.")),
        h("p", {}, h("a", { href: "#" }, say("Jobs on this device"))));
      if (!/^[\w-]+$|\.js$/.test(error.message)) throw error;
    }
    if (turn !== state.turn) return;
    if (focus) {
      scrollTo({ top: 0, behavior: "instant" });
      const title = place.querySelector("h1");
      if (title) title.focus({ preventScroll: true });
    }
    place.dataset.ready = "yes";
  }

  store.onProblem(showProblem);
  addEventListener("hashchange", () => draw());
  addEventListener("resize", fitMeter);
  addEventListener("storage", () => { if (document.hidden) draw(false); });
  draw(false);
})();
