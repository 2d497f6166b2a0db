/* What every page gets with JavaScript: the owner's own prices in all figures, filters, search, and the site offline. */
"use strict";

(() => {
  const { store, figures, reckon, say, dom } = droplight;
  const { h, root } = dom;
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const later = (act) => (globalThis.requestIdleCallback ? requestIdleCallback(act) : setTimeout(act, 1));

  all(".needs-js").forEach((element) => { element.hidden = false; });

  /* The flowchart starts in view */
  for (const frame of all(".frame")) {
    const start = frame.querySelector(".start");
    if (start && frame.scrollWidth > frame.clientWidth) {
      const box = start.getBoundingClientRect();
      frame.scrollLeft += box.left + box.width / 2 - frame.getBoundingClientRect().left - frame.clientWidth / 2;
    }
  }

  /* Own prices: every figure that rests on tools or on the labour rate follows the settings */

  const put = (element, text) => { if (element.textContent !== text) element.textContent = text; };

  /** What a playbook is expected to cost; what its dearest path costs where it has no odds. */
  function rowMoney(row, settings) {
    if (!row.dataset.form) return Number(row.dataset.money);
    const form = JSON.parse(row.dataset.form);
    const tools = Object.entries(form.tools).reduce((sum, [tool, [chance, price, borrow]]) => {
      const how = settings.tools[tool];
      return sum + chance * (how === "own" ? 0 : how === "borrow" && borrow !== null ? borrow : price);
    }, 0);
    return form.material + tools + form.minutes / 60 * settings.rate;
  }

  function applyToRows(settings) {
    for (const row of all("[data-form]")) {
      const place = row.querySelector("[data-figure='row-money']");
      if (place) put(place, figures.about(rowMoney(row, settings)));
    }
  }

  function writeAmount(element, amount, write) {
    const [low, likely, high] = amount;
    const shown = element.querySelector("[data-likely]");
    put(shown, write(likely));
    const range = element.querySelector(".range") || h("small", { class: "range" });
    put(range, low === high ? "" : `(${figures.range(low, high, write)})`);
    if (range.textContent && !range.isConnected) shown.after(" ", range);
  }

  function nodesOf(model, results) {
    const nodes = [0];
    for (const name of results) nodes.push(model.nodes[nodes[nodes.length - 1]].results.find((result) => result.name === name).to);
    return nodes.map((i) => ({ model, node: model.nodes[i] }));
  }

  function applyToWork(model, settings) {
    for (const element of all("[data-work]")) {
      const node = model.nodes.find((one) => `${one.kind}-${one.name}` === element.dataset.work);
      if (node) writeAmount(element, reckon.bill([{ model, node }], settings).money, figures.money);
    }
    for (const path of all("[data-path]")) {
      const works = nodesOf(model, path.dataset.path.split(" ").filter(Boolean));
      const bill = reckon.bill(works, settings);
      for (const element of all("[data-sum]", path)) {
        writeAmount(element, element.dataset.sum === "shop" ? bill.shopMoney : bill.money, figures.money);
      }
      for (const element of all("[data-added]", path)) {
        const k = Number(element.dataset.added);
        const [after, before] = [reckon.bill(works.slice(0, k + 1), settings), reckon.bill(works.slice(0, k), settings)];
        put(element, figures.money(after.money[1] - before.money[1]));
      }
    }
  }

  /** Expected, wasted, within and the ends of the range of the playbook on this page. */
  function headline(model, settings) {
    const found = {};
    if (model.prior) {
      const whole = reckon.expect(model, 0, model.prior, [], settings);
      const wrong = (i) => model.prior.map((_, c) => (model.nodes[i].repairs && !model.nodes[i].rights[c] ? 1 : 0));
      const within = reckon.within(model, 0, model.prior, [], settings, [0.5, 0.95]);
      found["expected-money"] = whole.money;
      found["expected-shop"] = whole.shopMoney;
      found.wasted = reckon.expect(model, 0, model.prior, [], settings, wrong).money;
      if (within) [found["within-50"], found["within-95"]] = within;
      found.self = whole.money + whole.minutes / 60 * settings.hour;
    }
    return found;
  }

  function applyEnds(model, settings) {
    if (reckon.pathCounts(model)[0] > reckon.LISTABLE || !document.querySelector("[data-end]")) return;
    const bills = reckon.paths(model, 0, null)
      .map(({ nodes }) => reckon.bill(nodes.map((i) => ({ model, node: model.nodes[i] })), settings).money)
      .sort((a, b) => reckon.mean(a) - reckon.mean(b));
    for (const [end, amount] of [["cheapest", bills[0]], ["dearest", bills[bills.length - 1]]]) {
      for (const element of all(`[data-end="${end}"]`)) {
        put(element.querySelector(".big"), figures.money(amount[1]));
        const note = element.querySelector("small");
        if (note) put(note, figures.range(amount[0], amount[2], figures.money));
      }
    }
  }

  async function applySettings() {
    const settings = store.settings();
    const page = document.documentElement.dataset;
    applyToRows(settings);
    const { playbook } = document.body.dataset;
    const own = store.changed(settings) || settings.hour !== Number(page.hour);
    if (!playbook || (!own && !page.applied)) return;
    const model = await dom.model(playbook);
    for (const [name, money] of Object.entries(headline(model, settings))) {
      all(`[data-figure="${name}"]`).forEach((element) => put(element, figures.about(money)));
    }
    applyToWork(model, settings);
    applyEnds(model, settings);
    all(".own-prices").forEach((element) => { element.hidden = !own; });
    page.applied = "yes";
  }

  /* The settings page */

  function settingsForm(form) {
    const now = store.settings();
    const { rate: siteRate, hour: siteHour } = document.documentElement.dataset;
    const [rate, hour] = [form.querySelector("#rate"), form.querySelector("#hour")];
    rate.value = now.rate;
    hour.value = now.hour;
    for (const radio of all("input[data-tool]", form)) radio.checked = (now.tools[radio.dataset.tool] || "buy") === radio.value;
    const save = () => {
      const tools = {};
      for (const radio of all("input[data-tool]:checked", form)) if (radio.value !== "buy") tools[radio.dataset.tool] = radio.value;
      const figure = (input, site) => (Number.isFinite(input.valueAsNumber) && input.valueAsNumber >= 0 ? input.valueAsNumber : Number(site));
      const kept = store.saveSettings({ rate: figure(rate, siteRate), hour: figure(hour, siteHour), tools });
      put(document.getElementById("settings-said"), kept ? say("Kept. All figures on this device follow.") : say("This browser does not keep it beyond this page."));
    };
    form.addEventListener("change", save);
    form.addEventListener("submit", (event) => event.preventDefault());
    form.querySelector("#reset").addEventListener("click", () => {
      store.removeEntry("settings");
      settingsForm(form);
      put(document.getElementById("settings-said"), say("Back to the figures of the site."));
    });
  }

  /* Jobs that wait on this device */

  function carryOn(place) {
    const open = store.jobs().sound.filter((job) => job.state !== "done").slice(0, 3);
    place.replaceChildren(...open.map((job) => h("a", { class: "button", href: `${root}walk.html#job=${job.id}` }, say("Carry on: {name}", { name: job.name }))));
    place.hidden = !open.length;
  }

  /* Filters of a list of playbooks */

  function filters(form) {
    const rows = all(".row[data-banner]");
    const said = form.querySelector("[role='status']");
    const value = (name) => form.elements[name];
    const apply = () => {
      const settings = store.settings();
      const sum = value("sum").valueAsNumber;
      let shown = 0;
      for (const row of rows) {
        const banner = row.dataset.banner.split(" ");
        const tools = row.dataset.tools.split(" ").filter(Boolean);
        const fits = !(value("no-lifting").checked && banner.includes("lifting")) &&
          !(value("no-timing").checked && banner.includes("timing")) &&
          !(value("own-tools").checked && tools.some((tool) => settings.tools[tool] !== "own")) &&
          !(value("within-hour").checked && Number(row.dataset.minutes) > 60) &&
          !(Number.isFinite(sum) && rowMoney(row, settings) > sum);
        row.hidden = !fits;
        shown += fits;
      }
      for (const section of all("section[data-area]")) section.hidden = !section.querySelector(".row:not([hidden])");
      const anyhow = !form.querySelector("input:checked") && !Number.isFinite(sum);
      put(said, anyhow ? "" : say("{shown} of {all} playbooks fit.", { shown, all: rows.length }));
    };
    form.addEventListener("input", apply);
    addEventListener("storage", apply);
    form.addEventListener("submit", (event) => event.preventDefault());
    apply();
  }

  /* The site on this device */

  const worker = () => (location.protocol.startsWith("http") && navigator.serviceWorker ? navigator.serviceWorker : null);

  function offline(box) {
    const said = box.querySelector("[role='status']");
    const keepButton = box.querySelector("button");
    if (!worker()) {
      keepButton.hidden = true;
      return;
    }
    const bar = h("progress", { "aria-label": say("Keep this site on this device"), hidden: true });
    said.after(bar);
    const kept = () => {
      put(said, say("The whole site is on this device. Pages, search and the walk work without a signal."));
      bar.hidden = true;
      box.dataset.kept = "yes";
    };
    worker().addEventListener("message", ({ data }) => {
      if (data.kind === "state" && data.kept) kept();
      if (data.kind === "progress") {
        bar.hidden = false;
        bar.max = data.all;
        bar.value = data.done;
        if (data.done < data.all) put(said, say("{done} of {all} files kept …", data));
        else kept();
      } else if (data.kind === "failed") {
        bar.hidden = true;
        put(said, say("Not everything could be kept: {why}. Try again with a better signal or more room.", data));
      }
    });
    keepButton.addEventListener("click", async () => {
      put(said, say("Starting …"));
      try {
        await worker().register(`${root}sw.js`, { scope: root || "./" });
        const registration = await worker().ready;
        registration.active.postMessage({ kind: "keep" });
        if (navigator.storage && navigator.storage.persist) await navigator.storage.persist();
      } catch {
        put(said, say("This browser does not let the site be kept."));
      }
    });
  }

  /** A newer version of a site that was kept is announced and used only when its owner says so. */
  async function announceVersions() {
    worker().addEventListener("message", ({ data }) => {
      if (data.kind === "used") location.reload();
      if (data.kind !== "state" || !data.newer || document.getElementById("new-version")) return;
      document.querySelector("main").before(h("p", { id: "new-version", class: "note", role: "status" },
        say("A new version of this site is ready. Your jobs stay as they are."), " ",
        h("button", { type: "button", class: "quiet", onclick: () => { worker().ready.then(({ active }) => active.postMessage({ kind: "use" })); } }, say("Use it now"))));
    });
    const registration = await worker().getRegistration(root || "./");
    if (registration && registration.active) registration.active.postMessage({ kind: "state" });
  }

  all("#carry-on").forEach(carryOn);
  all("#settings").forEach(settingsForm);
  all("form.filters").forEach(filters);
  all(".offline").forEach(offline);
  if (worker()) announceVersions().catch(() => { /* no service worker here */ });
  applySettings().catch(() => { /* the figures of the site stay */ });
  addEventListener("storage", () => later(() => applySettings().catch(() => {})));
})();
