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
  const unsaved = new Map();
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
    try {
      const place = disk();
      if (!place) throw new Error("denied");
      place.setItem(prefix + name, text);
      unsaved.delete(name);
      report(null);
      return true;
    } catch (error) {
      unsaved.set(name, text);
      report(error && /quota/i.test(error.name + error.message) ? "full" : "denied");
      return false;
    }
  }

  /** What was kept by a name; what could not be kept is newer than what is on the disk. */
  function text(name) {
    if (unsaved.has(name)) return unsaved.get(name);
    try {
      const place = disk();
      return place ? place.getItem(prefix + name) : null;
    } catch {
      return null;
    }
  }

  function remove(name) {
    unsaved.delete(name);
    try {
      const place = disk();
      if (place) place.removeItem(prefix + name);
    } catch {
      report("denied");
    }
  }

  function names() {
    const found = new Set(unsaved.keys());
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

  /** The system of units that the owner wants first, if they have said so. */
  function units() {
    return ["si", "us"].find((system) => text("units") === JSON.stringify(system)) || null;
  }

  /** Whether the owner has changed anything that figures rest on. */
  function changed(now = settings()) {
    return now.rate !== Number(document.documentElement.dataset.rate) || Object.keys(now.tools).length > 0;
  }

  /* Jobs. Their shape is that of builder/publish/data/jobschema.py; a test holds the two together. */
  const string = (value) => typeof value === "string";
  const short = (most) => (value) => string(value) && value.length <= most;
  const slug = (value) => string(value) && /^[a-z0-9-]+$/.test(value);
  const yes = (value) => typeof value === "boolean";
  const none = (check) => (value) => value === null || check(value);
  const list = (check, least = 0) => (value) => Array.isArray(value) && value.length >= least && value.every(check);
  /** A mapping with these keys and no others; a key that ends in `?` may be missing. */
  const shape = (keys) => {
    const checks = new Map(Object.entries(keys).map(([key, check]) => [key.replace("?", ""), check]));
    const needed = Object.keys(keys).filter((key) => !key.endsWith("?"));
    return (value) => plain(value) && needed.every((key) => Object.hasOwn(value, key)) &&
      Object.keys(value).every((key) => checks.has(key) && checks.get(key)(value[key]));
  };
  const means = shape({ money: number, minutes: number });
  const real = { "note?": short(5000), "spent?": number, "took?": number };
  const trial = shape({ at: string, clean: yes });
  const given = { result: slug, expect: string, hash: string };
  const base = { title: string, at: string, "counted?": means, ...real };
  const answer = shape({ step: slug, ...given, ...base });
  const finish = { done: yes, "doneAt?": string, "held?": yes, trials: list(trial) };
  const ending = shape({ name: slug, ...finish, ...base });
  const optional = (keys) => Object.fromEntries(Object.entries(keys).map(([key, check]) => [`${key.replace("?", "")}?`, check]));
  const extra = shape({ step: slug, "failed?": yes, ...base, ...optional({ ...given, ...finish }) });
  const leg = shape({
    slug, title: string, hash: string, way: list(answer), ending: none(ending), extra: list(extra),
    ruledOut: list(slug), "read?": list(slug), "draft?": shape({ step: slug, ...real }), "changed?": list(string),
  });
  /** Whether something that was kept or imported has the shape of a job. */
  const isJob = shape({
    droplight: (value) => value === "job", version: (value) => value === 1, id: slug, name: short(200),
    created: string, updated: string, state: (value) => ["open", "proving", "done"].includes(value),
    expected: none(means), legs: list(leg, 1), elsewhere: list(leg),
  });

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
    units,
    saveUnits: (value) => write("units", value),
    jobs,
    isJob,
    job: (id) => jobs().sound.find((job) => job.id === id) || null,
    saveJob: (job) => write(`job:${job.id}`, { ...job, updated: new Date().toISOString() }),
    removeEntry: remove,
    problem: () => problem,
    onProblem: (listener) => listeners.add(listener),
  };
})();
