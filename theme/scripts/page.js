/* What every page gets with JavaScript: units as the owner likes them, and word of newer versions of a site that is kept. */

import { scope, worker } from "./device/worker.js";
import { all, h, one } from "./show/dom.js";
import { order } from "./show/units.js";
import { held } from "./site/data.js";
import { say } from "./site/words.js";

/**
 * A newer version of a site that was kept is announced, and used only when its owner says so.
 * @param {ServiceWorkerContainer} container
 */
async function announceVersions(container) {
  const use = async () => {
    const { active } = await container.ready;
    if (active) active.postMessage({ kind: "use" });
  };
  container.addEventListener("message", ({ data }) => {
    if (data.kind === "used") location.reload();
    if (data.kind !== "state" || !data.newer || document.getElementById("new-version")) return;
    one(HTMLElement, "main").before(h("p", { id: "new-version", class: "note", role: "status" },
      say("A new version of this site is ready. Your jobs stay as they are."), " ",
      h("button", { type: "button", class: "quiet", onclick: use }, say("Use it now"))));
  });
  const registration = await container.getRegistration(scope);
  if (registration && registration.active) registration.active.postMessage({ kind: "state" });
}

/**
 * The version of the library stands in a file of its own, so that no page changes with it.
 * @param {HTMLElement} place
 */
async function showVersion(place) {
  const { commit, dirty, contents } = await held("version.js", "version");
  const version = commit || contents;
  const said = say("Version {version}", { version });
  if (version) place.textContent = dirty ? said + say(", with changes that are not committed") : said;
  place.hidden = !version;
}

for (const element of all(HTMLElement, ".needs-js")) element.hidden = false;
order(document);
addEventListener("storage", () => order(document));
if (worker) announceVersions(worker).catch(() => { /* no service worker here */ });
for (const place of all(HTMLElement, ".version")) showVersion(place).catch(() => { /* it says none */ });
