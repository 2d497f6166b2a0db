/* The jobs and the cars on this device, and those from another one. */

/** @import { Job } from "../made/jobschema.js" */
import { save, settings } from "../device/settings.js";
import { car as carHere, cars, jobs, job as jobHere, removeEntry, saveCar } from "../device/store.js";
import { newCar } from "../job/car.js";
import { everythingToYaml, fromYaml } from "../job/jobfile.js";
import { waited, waiting } from "../job/wait.js";
import { h, one } from "../show/dom.js";
import { download } from "../show/download.js";
import { date, day } from "../show/figures.js";
import { root } from "../site/site.js";
import { say } from "../site/words.js";
import { standing } from "./jobline.js";
import { button, stateName, title } from "./pieces.js";
import { go, jobAddress, keep, show } from "./stage.js";
import { waitName } from "./waits.js";

/** @param {Job} job */
function row(job) {
  const next = h("span", {});
  const spent = h("span", {});
  standing(job).then((found) => {
    next.textContent = found.next ? say("Next: {title}", { title: found.next }) : "";
    spent.textContent = say("{money} so far", { money: found.spent });
  });
  const [wait] = waiting(job);
  const [over] = waited(job);
  return h("li", { class: "row job" },
    h("p", { class: "job-head" }, job.car ? h("b", { class: "job-car" }, job.car.name) : null, h("span", { class: "stamp" }, stateName(job))),
    h("a", { class: "row-title", href: jobAddress(job) }, job.name),
    wait ? h("p", { class: "waits" }, say("{what}: until {day}", { what: waitName(wait), day: day(wait.until) }))
      : over ? h("p", { class: "waits" }, say("{what}: over since {day}", { what: waitName(over), day: day(over.until) })) : null,
    h("p", { class: "next-step" }, next),
    h("p", { class: "small" }, spent, " · ", say("last touched {date}", { date: date(job.updated) }),
      job.legs.length > 1 ? ` · ${job.legs.map((leg) => leg.title).join(" → ")}` : ""));
}

export function drawList() {
  const { sound, damaged } = jobs();
  document.title = say("Jobs on this device");
  show(
    title(say("Jobs on this device")),
    sound.length + damaged.length
      ? h("ul", { class: "rows jobs" }, sound.map(row), damaged.map(brokenRow))
      : h("p", { class: "lead" }, say("No job yet. Pick what the car is doing and start a walk from its playbook.")),
    h("p", { class: "buttons" }, h("a", { class: "button", href: `${root}index.html` }, say("What is the car doing?"))),
    carList(),
    h("h2", {}, say("To and from other devices")),
    h("p", {}, h("label", { for: "import" }, say("A job file, or everything from another device:")), " ", h("input", { id: "import", type: "file", accept: ".yaml,.yml,.json,text/plain", onchange: bring })),
    h("p", { id: "import-said", role: "status" }),
    sound.length ? h("p", { class: "buttons" }, button(say("Save everything as one file"), saveAll, "quiet")) : null,
    h("p", {}, h("a", { href: `${root}settings.html` }, say("Your tools, prices and limits"))));
}

function carList() {
  /** @param {Event} event */
  const add = (event) => {
    event.preventDefault();
    const name = one(HTMLInputElement, "#new-car").value.trim();
    if (!name) return;
    const car = newCar(name);
    saveCar(car);
    go(`#car=${car.id}`);
  };
  return h("section", { class: "cars" }, h("h2", {}, say("Your cars")),
    h("ul", { class: "rows" }, cars().map((car) => h("li", { class: "row" }, h("a", { class: "row-title", href: `#car=${car.id}` }, car.name),
      h("p", { class: "small" }, [car.engine, car.mileage].filter(Boolean).join(" · "))))),
    h("form", { onsubmit: add }, h("label", { for: "new-car" }, say("Name of a car")), " ",
      h("input", { id: "new-car", type: "text", maxlength: "80" }), " ", h("button", { type: "submit", class: "small-button" }, say("Add the car"))));
}

/** @param {{name: string, text: string | null}} entry */
function brokenRow({ name, text }) {
  const forget = () => {
    if (!confirm(say("Delete this job for good?"))) return;
    removeEntry(name);
    drawList();
  };
  return h("li", { class: "row" },
    h("p", {}, say("A job here is damaged and cannot be opened. Everything else is unharmed.")),
    h("p", { class: "buttons" },
      button(say("Save what is left of it"), () => download("damaged-job.txt", "text/plain", text || "")),
      button(say("Delete it"), forget, "quiet")));
}

const saveAll = () => download("droplight-everything.yaml", "application/yaml", everythingToYaml({ jobs: jobs().sound, cars: cars(), settings: settings() }));

/** The largest file that is read, in bytes. */
const MOST = 2e7;

/** @param {Event} event */
async function bring({ target }) {
  const file = target instanceof HTMLInputElement && target.files && target.files[0];
  if (!file) return;
  const found = file.size < MOST ? fromYaml(await file.text()) : null;
  if (!found) {
    one(HTMLElement, "#import-said").textContent = say("This file is not a job that a walk has saved.");
    return;
  }
  const here = found.jobs.filter(({ id }) => jobHere(id)).length;
  const question = found.jobs.length === 1
    ? say("This job is on this device already. Replace it by the one in the file?")
    : say("{count} of these jobs are on this device already. Replace them by those in the file?", { count: here });
  const replace = !here || confirm(question);
  const taken = found.jobs.filter(({ id }) => replace || !jobHere(id));
  for (const job of taken) keep(job);
  for (const car of found.cars) if (replace || !carHere(car.id)) saveCar(car);
  if (found.settings && confirm(say("Take the tools, prices and limits from the file as well?"))) save(/** @type {any} */ (found.settings));
  if (taken.length === 1 && !found.cars.length) go(jobAddress(taken[0]));
  else {
    drawList();
    one(HTMLElement, "#import-said").textContent = say("Jobs brought here: {count}", { count: taken.length });
  }
}
