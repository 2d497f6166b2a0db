/* The sheet of any path, made from the playbook's model: of the results in the address, or of a job on this device. */

/** @import { Model } from "./types.js" */
import { settings } from "./device/settings.js";
import { job as kept } from "./device/store.js";
import { stand } from "./job/stand.js";
import { paper } from "./sheet/paper.js";
import { h, one } from "./show/dom.js";
import { model } from "./site/data.js";
import { say } from "./site/words.js";

/** The slug that the address asks for, and the results: a list, or those of a job's way so far. */
function asked() {
  const hash = new URLSearchParams(location.hash.slice(1));
  const job = kept(hash.get("job") || "");
  const leg = job && job.legs[job.legs.length - 1];
  if (leg) {
    /** @param {Model} model */
    const results = (model) => stand(model, leg).passed.map(({ result }) => result.name);
    return { slug: leg.slug, results };
  }
  const names = (hash.get("results") || "").split(".").filter(Boolean);
  return { slug: hash.get("playbook") || "", results: () => names };
}

async function show() {
  const { slug, results } = asked();
  if (!/^[a-z0-9][a-z0-9-]*$/.test(slug)) return;
  const book = await model(slug);
  const { banner, sheet, title } = paper(book, results(book), settings());
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
