/* What is kept on the device: settings and jobs. Nothing leaves it by itself. Storage that is full or denied is
   told once; the walk goes on in memory. Damaged entries are set aside and harm nothing else. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.words = droplight.words || {};
/** A text of the theme in the site's language, with its {values} filled in. */
droplight.say = (text, values = {}) =>
  (droplight.words[text] || text).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));

droplight.store = (() => {
  const site = document.documentElement.dataset.site || "site";
  const prefix = `droplight:${site}:`;
  const memory = new Map();
  const listeners = new Set();
  let problem = null;

  function disk() {
    try {
      return globalThis.localStorage || null;
    } catch {
      return null;
    }
  }

  function report(kind) {
    problem = kind;
    listeners.forEach((listener) => listener(kind));
  }

  function write(name, value) {
    const text = JSON.stringify(value);
    memory.set(name, text);
    try {
      const place = disk();
      if (!place) throw new Error("denied");
      place.setItem(prefix + name, text);
      return true;
    } catch (error) {
      report(error && /quota/i.test(error.name + error.message) ? "full" : "denied");
      return false;
    }
  }

  function text(name) {
    try {
      const place = disk();
      const kept = place && place.getItem(prefix + name);
      if (kept !== null && kept !== undefined) return kept;
    } catch { /* denied: what is in memory is all there is */ }
    return memory.has(name) ? memory.get(name) : null;
  }

  function remove(name) {
    memory.delete(name);
    try {
      const place = disk();
      if (place) place.removeItem(prefix + name);
    } catch {
      report("denied");
    }
  }

  function names() {
    const found = new Set(memory.keys());
    try {
      const place = disk();
      for (let i = 0; place && i < place.length; i++) {
        const key = place.key(i);
        if (key.startsWith(prefix)) found.add(key.slice(prefix.length));
      }
    } catch { /* denied */ }
    return [...found].sort();
  }

  /* Settings */
  const plain = (value) => Boolean(value) && typeof value === "object" && !Array.isArray(value);
  const number = (value) => typeof value === "number" && Number.isFinite(value) && value >= 0;

  function settings() {
    let kept = null;
    try {
      kept = JSON.parse(text("settings") || "null");
    } catch { /* damaged settings count as none */ }
    const tools = {};
    if (plain(kept) && plain(kept.tools)) {
      for (const [name, how] of Object.entries(kept.tools)) if (how === "own" || how === "borrow") tools[name] = how;
    }
    const defaults = document.documentElement.dataset;
    return {
      rate: plain(kept) && number(kept.rate) ? kept.rate : Number(defaults.rate),
      hour: plain(kept) && number(kept.hour) ? kept.hour : Number(defaults.hour),
      tools,
    };
  }

  /** Whether the owner has changed anything that figures rest on. */
  function changed(now = settings()) {
    return now.rate !== Number(document.documentElement.dataset.rate) || Object.keys(now.tools).length > 0;
  }

  /* Jobs */
  const answer = (one) => plain(one) && typeof one.step === "string" && typeof one.result === "string";
  const leg = (one) => plain(one) && typeof one.slug === "string" && Array.isArray(one.way) && one.way.every(answer);

  /** Whether something that was kept or imported has the shape of a job. */
  function isJob(job) {
    return plain(job) && job.droplight === "job" && job.version === 1 && typeof job.id === "string" &&
      /^[a-z0-9-]{1,40}$/.test(job.id) && typeof job.name === "string" && Array.isArray(job.legs) &&
      job.legs.length > 0 && job.legs.every(leg);
  }

  function jobs() {
    const sound = [], damaged = [];
    for (const name of names()) {
      if (!name.startsWith("job:")) continue;
      let job = null;
      try {
        job = JSON.parse(text(name));
      } catch { /* shown as damaged */ }
      if (isJob(job) && `job:${job.id}` === name) sound.push(job);
      else damaged.push({ name, text: text(name) });
    }
    sound.sort((a, b) => String(b.updated).localeCompare(String(a.updated)));
    return { sound, damaged };
  }

  return {
    settings,
    changed,
    saveSettings: (value) => write("settings", value),
    jobs,
    isJob,
    job: (id) => jobs().sound.find((job) => job.id === id) || null,
    saveJob: (job) => write(`job:${job.id}`, { ...job, updated: new Date().toISOString() }),
    removeEntry: remove,
    problem: () => problem,
    onProblem: (listener) => listeners.add(listener),
  };
})();
