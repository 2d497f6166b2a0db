/* Search: prefixes and small typing errors, over what the build listed; nothing is fetched. */
"use strict";

(() => {
  const { say, dom } = droplight;
  const { h, root } = dom;
  const MOST = 6;
  const KINDS = ["symptom", "code", "cause", "step", "part", "tool"];
  const titles = { symptom: say("Symptoms"), code: say("Trouble codes"), cause: say("Causes"), step: say("Steps"), part: say("Parts"), tool: say("Tools") };

  const words = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[\p{L}\p{N}]+/gu) || [];

  /** Documents and their words, from what the build listed. */
  function index({ books, causes, codes, parts, tools }) {
    const docs = [];
    const postings = new Map();
    const add = (kind, title, page, note, more = "") => {
      const id = docs.push({ kind, title, page, note }) - 1;
      const own = new Set(words(title));
      for (const word of own) note_(word, id, 2);
      for (const word of new Set(words(more))) if (!own.has(word)) note_(word, id, 1);
    };
    const note_ = (word, id, weight) => {
      const list = postings.get(word);
      if (list) list.push(id, weight);
      else postings.set(word, [id, weight]);
    };
    for (const [slug, title, summary, shown, steps] of books) {
      add("symptom", title, `playbook/${slug}.html`, summary, `${summary} ${shown.join(" ")}`);
      steps.forEach((step, k) => add("step", step, `playbook/${slug}.html#n${k + 1}`, title));
    }
    codes.forEach((code) => add("code", code, `code/${code}.html`, ""));
    causes.forEach(([id, name]) => add("cause", name, `cause/${id}.html`, ""));
    parts.forEach(([id, name]) => add("part", name, `part/${id}.html`, ""));
    tools.forEach(([id, name]) => add("tool", name, `tool/${id}.html`, ""));
    return { docs, postings, known: [...postings.keys()].sort() };
  }

  /** Whether two words are at most `most` changes apart (insert, delete, replace, swap two neighbours). */
  function near(a, b, most) {
    if (Math.abs(a.length - b.length) > most) return false;
    let before = [], row = Array.from({ length: b.length + 1 }, (_, j) => j);
    for (let i = 1; i <= a.length; i++) {
      const next = [i];
      let least = i;
      for (let j = 1; j <= b.length; j++) {
        next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) next[j] = Math.min(next[j], before[j - 2] + 1);
        least = Math.min(least, next[j]);
      }
      if (least > most) return false;
      [before, row] = [row, next];
    }
    return row[b.length] <= most;
  }

  /** Known words that a typed word may mean, with how well each fits. */
  function meanings(found, typed) {
    const fits = new Map();
    let low = 0, high = found.known.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (found.known[middle] < typed) low = middle + 1;
      else high = middle;
    }
    for (; low < found.known.length && found.known[low].startsWith(typed); low++) {
      fits.set(found.known[low], found.known[low] === typed ? 4 : 3);
    }
    const most = typed.length < 4 ? 0 : typed.length < 8 ? 1 : 2;
    if (most && ![...fits.values()].includes(4)) {
      for (const word of found.known) {
        if (!fits.has(word) && (near(typed, word, most) || (word.length > typed.length && near(typed, word.slice(0, typed.length), most)))) fits.set(word, 1);
      }
    }
    return fits;
  }

  /** Documents that hold every typed word, best first. */
  function find(found, query) {
    let scores = null;
    for (const typed of words(query)) {
      const here = new Map();
      for (const [word, fit] of meanings(found, typed)) {
        const list = found.postings.get(word);
        for (let k = 0; k < list.length; k += 2) {
          const score = fit * list[k + 1] * (1 + 1 / list.length);
          if (score > (here.get(list[k]) || 0)) here.set(list[k], score);
        }
      }
      if (scores) {
        for (const [id, score] of scores) {
          if (here.has(id)) scores.set(id, score + here.get(id));
          else scores.delete(id);
        }
      } else scores = here;
    }
    return [...(scores || [])].sort((a, b) => b[1] - a[1] || a[0] - b[0]).map(([id]) => found.docs[id]);
  }

  droplight.searching = { index, find };

  for (const form of document.querySelectorAll("form.search")) {
    const input = form.querySelector("input");
    const place = form.querySelector(".search-results");
    let found = null;
    const ready = async () => {
      if (!found) {
        await dom.load("data/search.js");
        found = index(droplight.search);
      }
    };
    const show = async () => {
      const query = input.value.trim();
      if (!query) {
        place.replaceChildren();
        form.querySelector("[role='status']").textContent = "";
        return;
      }
      try {
        await ready();
      } catch {
        place.replaceChildren(h("p", {}, say("The search cannot be loaded.")));
        return;
      }
      const docs = find(found, query);
      const groups = KINDS.map((kind) => [kind, docs.filter((doc) => doc.kind === kind)]).filter(([, of]) => of.length);
      place.replaceChildren(...(groups.length ? groups.map(([kind, of]) => h("section", {},
        h("h2", {}, titles[kind]),
        h("ul", {}, of.slice(0, MOST).map((doc) => h("li", {}, h("a", { href: root + doc.page }, doc.title), doc.note ? h("small", {}, ` ${doc.note}`) : null))),
        of.length > MOST ? h("p", { class: "small" }, say("and {count} more", { count: of.length - MOST })) : null))
        : [h("p", {}, say("Nothing found. Try another word for what you notice, or pick an area below."))]));
      form.querySelector("[role='status']").textContent = groups.length ? say("{count} found", { count: docs.length }) : say("Nothing found");
    };
    input.addEventListener("focus", () => ready().catch(() => {}), { once: true });
    input.addEventListener("input", show);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const first = place.querySelector("a");
      if (first) first.click();
    });
  }
})();
