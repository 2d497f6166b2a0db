/* Keeps the whole site on the device when its owner asks for it. Made by the build; the version is what is in it. */
"use strict";
const here = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const VERSION = {{ version|tojson }};
const CACHE = `droplight ${here.registration.scope} ${VERSION}`;
const OWN = `droplight ${here.registration.scope} `;

const META = `${OWN}meta`;

async function kept() {
  return (await caches.keys()).filter((name) => name.startsWith(OWN) && name !== META);
}

/** The version that the owner has chosen to use; it serves until a newer one is accepted. */
async function accepted() {
  const answer = (await caches.has(META)) && (await (await caches.open(META)).match("accepted"));
  return answer ? answer.text() : null;
}

/** @param {string} version */
async function accept(version) {
  await (await caches.open(META)).put("accepted", new Response(version));
}

/** @param {(message: object) => void} tell what is told meanwhile */
async function keep(tell) {
  const { version, files } = await (await fetch("offline.json", { cache: "no-store" })).json();
  if (version !== VERSION) throw new Error("the site has just changed");
  const cache = await caches.open(CACHE);
  let done = 0;
  /** @type {unknown} */
  let failure = null;
  const step = Math.ceil(files.length / 20);
  const queue = [...files];
  const work = async () => {
    for (let file = queue.pop(); file !== undefined && !failure; file = queue.pop()) {
      const address = new URL(file, here.registration.scope).href;
      if (!(await cache.match(address))) {
        const answer = await fetch(address, { cache: "no-cache" });
        if (!answer.ok) throw new Error(`${file}: ${answer.status}`);
        // A page that was answered by way of a redirection must not be shown for another address.
        await cache.put(address, answer.redirected ? new Response(await answer.blob(), { headers: answer.headers }) : answer);
      }
      done += 1;
      if (done % step === 0 || done === files.length) tell({ kind: "progress", done, all: files.length });
    }
  };
  await Promise.all(Array.from({ length: 6 }, () => work().catch((error) => { failure = failure || error; })));
  if (failure) throw failure;
  if (!(await accepted())) await accept(VERSION);
}

/** @param {object} message */
async function tellAll(message) {
  for (const client of await here.clients.matchAll({ includeUncontrolled: true })) client.postMessage(message);
}

async function tellState() {
  const using = await accepted();
  await tellAll({ kind: "state", kept: Boolean(using), newer: Boolean(using) && using !== VERSION });
}

here.addEventListener("install", (event) => {
  // A site that was kept before is kept again in its new version before that offers ithere.
  event.waitUntil(accepted().then((using) => (using ? keep(() => {}) : null)).then(() => here.skipWaiting()));
});

here.addEventListener("activate", (event) => {
  event.waitUntil(forgetOthers().then(() => here.clients.claim()).then(tellState));
});

/** Versions that are neither in use nor the newest were never asked for. */
async function forgetOthers() {
  const using = await accepted();
  for (const name of await kept()) if (name !== CACHE && name !== OWN + using) await caches.delete(name);
}

async function use() {
  await accept(VERSION);
  await forgetOthers();
  await tellAll({ kind: "used" });
}

here.addEventListener("message", (event) => {
  /** @type {Map<string, () => Promise<void>>} */
  const acts = new Map([
    ["state", tellState],
    ["use", use],
    ["keep", () => keep(tellAll).catch((error) => tellAll({ kind: "failed", why: String(error.message || error) }))],
  ]);
  const act = acts.get(event.data.kind);
  if (act) event.waitUntil(act());
});

here.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || !address.href.startsWith(here.registration.scope)) return;
  if (address.pathname.endsWith("/")) address.pathname += "index.html";
  address.search = "";
  address.hash = "";
  event.respondWith((async () => {
    const using = await accepted();
    const answer = using && (await (await caches.open(OWN + using)).match(address.href));
    return answer || fetch(event.request);
  })());
});
