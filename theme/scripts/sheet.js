/* The sheet of any path, made from the playbook's model: of the results in the address, or of a job on this device. */

import { settings } from "./device/settings.js";
import { job as kept } from "./device/store.js";
import { paper } from "./sheet/paper.js";
import { h, one } from "./show/dom.js";
import { model } from "./site/data.js";
import { say } from "./site/words.js";

/** The slug and the results that the address asks for. */
function asked() {
  const hash = new URLSearchParams(location.hash.slice(1));
  const job = kept(hash.get("job") || "");
  const leg = job && job.legs[job.legs.length - 1];
  if (leg) return { slug: leg.slug, results: leg.way.map(({ result }) => result) };
  return { slug: hash.get("playbook") || "", results: (hash.get("results") || "").split(".").filter(Boolean) };
}

async function show() {
  const { slug, results } = asked();
  if (!/^[a-z0-9][a-z0-9-]*$/.test(slug)) return;
  const { banner, sheet, title } = paper(await model(slug), results, settings());
  for (const old of document.querySelectorAll(".banner")) old.remove();
  one(HTMLElement, "#sheet").replaceWith(sheet);
  // The banner goes before everything else on the page but the link that skips to the content.
  if (banner) one(HTMLElement, ".skip").after(banner);
  document.title = say("Job sheet: {title}", { title });
}

/** @param {unknown} error */
function fail(error) {
  one(HTMLElement, "#sheet").append(h("p", { class: "note", role: "alert" }, say("This sheet cannot be made: {why}", { why: String(error) })));
}

show().catch(fail);
addEventListener("hashchange", () => show().catch(fail));
