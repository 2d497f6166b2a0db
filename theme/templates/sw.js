/* Keeps the site, or a part of it, on the device when its owner asks for it. Made by the build; the version is what is in it.
   Files are kept by their SHA-256 as the list of files says it, and shown only where they have it, so that what a
   captive portal or a cut connection gave is never kept, and what has gone bad is fetched again. */
"use strict";
const here = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const VERSION = {{ version|tojson }};
const VERSION_FILE = {{ version_file|tojson }};
const SCOPE = here.registration.scope;
const OWN = `droplight ${SCOPE} `;
const FILES = `${OWN}files`;
const META = `${OWN}meta`;
/** How many files are fetched at a time. */
const AT_ONCE = 6;

/** @typedef {[name: string, size: number, sha: string]} Entry */
/** @typedef { {version: string, files: Entry[], sets: Record<string, number[]>, areas: Record<string, string[]>} } List */
/** @typedef {(message: object) => void} Tell */

/**
 * What is noted by a name: the list in `use`, the one that is `ready` to take its place, what was `wanted`, or `whole`.
 * @param {string} name
 */
async function noted(name) {
  const answer = await (await caches.open(META)).match(SCOPE + name);
  return answer ? answer.json().catch(() => null) : null;
}

/**
 * @param {string} name
 * @param {unknown} value
 */
async function note(name, value) {
  await (await caches.open(META)).put(SCOPE + name, new Response(JSON.stringify(value)));
}

/** What the owner wanted kept: `*`, areas as in `area/brakes`, or slugs; null where nothing is. */
async function wanted() {
  if (!(await caches.has(META))) return null;
  const old = await (await caches.open(META)).match("accepted");
  return (await noted("wanted")) || (old ? ["*"] : null);
}

/** @type {Promise<{list: List, byName: Map<string, Entry>} | null> | null} */
let using = null;

/** The list that serves until a newer one is accepted. */
function inUse() {
  using = using || caches.has(META).then(async (there) => {
    const list = there ? /** @type {List | null} */ (await noted("use")) : null;
    return list && { list, byName: new Map(list.files.map((entry) => [entry[0], entry])) };
  });
  return using;
}

/** @param {string} name */
const address = (name) => SCOPE + name.split("/").map(encodeURIComponent).join("/");

/** @param {Entry} entry */
const keyOf = ([name, , sha]) => `${address(name)}?${sha}`;

/**
 * Whether some bytes are what the list says.
 * @param {ArrayBuffer} bytes
 * @param {Entry} entry
 */
async function is(bytes, [, size, sha]) {
  if (bytes.byteLength !== size) return false;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return sha === [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * A file as it is kept, null where it is not; one that is not what it should be is thrown away, and said to be bad.
 * @param {Entry} entry
 * @returns {Promise<Response | "bad" | null>}
 */
async function kept(entry) {
  const cache = await caches.open(FILES);
  const answer = await cache.match(keyOf(entry));
  if (!answer) return null;
  const bytes = await answer.arrayBuffer().catch(() => new ArrayBuffer(0));
  if (await is(bytes, entry)) return new Response(bytes, { headers: answer.headers });
  await cache.delete(keyOf(entry));
  return "bad";
}

/**
 * Fetch a file and keep it, if it is what the list says.
 * @param {Entry} entry
 */
async function bring(entry) {
  for (const cache of /** @type {const} */ (["no-cache", "reload"])) {
    const answer = await fetch(address(entry[0]), { cache });
    if (!answer.ok) throw new Error(`${entry[0]}: ${answer.status}`);
    const bytes = await answer.arrayBuffer();
    if (!(await is(bytes, entry))) continue;
    const headers = new Headers(answer.headers);
    for (const name of ["content-encoding", "content-length"]) headers.delete(name);
    // A new response: one that came by way of a redirection must not be shown for another address.
    await (await caches.open(FILES)).put(keyOf(entry), new Response(bytes, { headers }));
    return;
  }
  throw new Error(`${entry[0]}: this is not what the site holds`);
}

/**
 * The files that an owner needs: what all need, and what single playbooks do.
 * @param {List} list
 * @param {string[]} wants
 */
function chosen({ files, sets, areas }, wants) {
  if (wants.includes("*")) return files;
  const slugs = wants.flatMap((want) => (want.startsWith("area/") ? areas[want.slice(5)] || [] : [want]));
  const some = new Set(Object.values(sets).flat());
  const needed = new Set(slugs.flatMap((slug) => sets[slug] || []));
  return files.filter((_, number) => needed.has(number) || !some.has(number));
}

/** @returns {Promise<List>} */
async function newest() {
  const answer = await fetch(`${SCOPE}offline.json`, { cache: "no-store" });
  const list = answer.ok ? await answer.json().catch(() => null) : null;
  if (!list || !Array.isArray(list.files) || !list.sets || !list.areas) throw new Error("no connection to the site");
  if (list.version !== VERSION) throw new Error("the site has just changed");
  return list;
}

/**
 * Keep what is wanted; what is kept already is looked at, and only what is missing or wrong is fetched.
 * @param {string[]} wants
 * @param {Tell} tell what is told meanwhile
 */
async function keep(wants, tell) {
  const list = await newest();
  const current = await inUse();
  const isNew = !current || current.list.version === VERSION;
  await note("wanted", wants);
  if (isNew) await note("whole", false);
  const files = chosen(list, wants);
  let done = 0;
  /** @type {unknown} */
  let failure = null;
  const step = Math.ceil(files.length / 20);
  const queue = [...files];
  const work = async () => {
    for (let entry = queue.pop(); entry && !failure; entry = queue.pop()) {
      if (!((await kept(entry)) instanceof Response)) await bring(entry);
      done += 1;
      if (done % step === 0 || done === files.length) tell({ kind: "progress", done, all: files.length });
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, () => work().catch((error) => { failure = failure || error; })));
  if (failure) throw failure;
  await note(isNew ? "use" : "ready", list);
  await note("whole", true);
  using = null;
  await versionOf(new Request(SCOPE + VERSION_FILE)).catch(() => null);
  await tellState();
}

/** @param {object} message */
async function tellAll(message) {
  for (const client of await here.clients.matchAll({ includeUncontrolled: true })) client.postMessage(message);
}

async function tellState() {
  const current = await inUse();
  const [wants, whole] = [await wanted(), Boolean(current) && Boolean(await noted("whole"))];
  await tellAll({ kind: "state", wanted: wants, whole, newer: current !== null && current.list.version !== VERSION });
}

/** What neither the list in use nor the newest one asks for goes, and so does what older workers kept. */
async function tidy() {
  for (const name of await caches.keys()) {
    if (name.startsWith(OWN) && name !== FILES && name !== META) await caches.delete(name);
  }
  const wants = await wanted();
  if (!wants) return;
  const current = await inUse();
  if (!current) return;
  /** @type {List[]} */
  const lists = [current.list, (await noted("ready")) || current.list];
  const asked = new Set(lists.flatMap((list) => chosen(list, wants)).map(keyOf));
  const cache = await caches.open(FILES);
  for (const request of await cache.keys()) {
    if (!asked.has(request.url)) await cache.delete(request);
  }
}

async function use() {
  const list = await noted("ready");
  if (list) await note("use", list);
  using = null;
  await tidy();
  await tellAll({ kind: "used" });
}

async function forget() {
  for (const name of await caches.keys()) if (name.startsWith(OWN)) await caches.delete(name);
  using = null;
  await tellState();
}

/** @param {Promise<void>} work */
const telling = (work) => work.catch((error) => tellAll({ kind: "failed", why: String(error.message || error) }));

here.addEventListener("install", (event) => {
  // What was kept before is kept again in its new version before that offers itself.
  event.waitUntil(wanted().then((wants) => (wants ? keep(wants, () => {}) : null)).then(() => here.skipWaiting()));
});

here.addEventListener("activate", (event) => {
  event.waitUntil(tidy().then(() => here.clients.claim()).then(tellState));
});

here.addEventListener("message", (event) => {
  /** @type {Map<string, () => Promise<void>>} */
  const acts = new Map([
    ["state", tellState],
    ["use", use],
    ["forget", forget],
    ["keep", () => telling(keep(event.data.wants, tellAll).then(tidy))],
  ]);
  const act = acts.get(event.data.kind);
  if (act) event.waitUntil(act());
});

/**
 * The version as the site says it, and without a signal as it was when the site was kept.
 * @param {Request} request
 */
async function versionOf(request) {
  const cache = await caches.open(META);
  try {
    const answer = await fetch(request, { cache: "no-cache" });
    const text = await answer.text();
    if (!text.startsWith('droplight.take("version"')) throw new Error("this is no version");
    const said = new Response(text, { headers: answer.headers });
    await cache.put(SCOPE + VERSION_FILE, said.clone());
    return said;
  } catch (error) {
    const before = await cache.match(SCOPE + VERSION_FILE);
    if (before) return before;
    throw error;
  }
}

/**
 * @param {Request} request
 * @param {string} name
 */
async function answerOf(request, name) {
  const current = await inUse();
  if (!current) return fetch(request);
  if (name === VERSION_FILE) return versionOf(request);
  const entry = current.byName.get(name);
  let found = entry && (await kept(entry));
  if (entry && found === "bad") found = await bring(entry).then(() => kept(entry)).catch(() => null);
  if (found instanceof Response) return found;
  try {
    return await fetch(request);
  } catch (error) {
    if (request.mode === "navigate" && name !== "404.html") return Response.redirect(`${SCOPE}404.html#kept`);
    throw error;
  }
}

here.addEventListener("fetch", (event) => {
  const asked = new URL(event.request.url);
  if (event.request.method !== "GET" || !asked.href.startsWith(SCOPE)) return;
  let name = asked.pathname.slice(new URL(SCOPE).pathname.length);
  try {
    name = decodeURIComponent(name);
  } catch { /* as it is written */ }
  if (!name || name.endsWith("/")) name += "index.html";
  event.respondWith(answerOf(event.request, name));
});
