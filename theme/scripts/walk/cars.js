/* The profile of a car: its name, engine and mileage, and what is known of it. */

/** @import { Car } from "../made/jobschema.js" */
import { car as carHere, jobs, removeCar, saveCar } from "../device/store.js";
import { h } from "../show/dom.js";
import { date } from "../show/figures.js";
import { say } from "../site/words.js";
import { jobLine } from "./jobline.js";
import { button, title, toJobs } from "./pieces.js";
import { draw, go, jobAddress, show } from "./stage.js";

/** @param {string} id */
export function carPage(id) {
  const car = carHere(id);
  if (!car) {
    show(title(say("This car is not on this device")), toJobs());
    return;
  }
  document.title = car.name;
  const own = jobs().sound.filter((job) => job.car && job.car.id === id);
  const forget = () => {
    if (!confirm(say("Delete this car? Its jobs stay."))) return;
    removeCar(car);
    go("#");
  };
  show(
    title(car.name),
    h("article", { class: "card" },
      field(car, "name", say("Name")), field(car, "engine", say("Car and engine, as playbooks name it")), field(car, "mileage", say("Mileage")),
      h("h2", {}, say("Known of this car")),
      car.facts.length
        ? h("ul", {}, car.facts.map((fact) => h("li", {}, fact.expect, h("small", {}, ` (${date(fact.at)}) `), button(say("Take it back"), () => {
          car.facts = car.facts.filter((one) => one !== fact);
          saveCar(car);
          draw(false);
        }, "small-button"))))
        : h("p", {}, say("Nothing yet. What you answer about the car itself in a job is kept here and not asked again.")),
      h("h2", {}, say("Jobs")),
      h("ul", { class: "rows" }, own.map((job) => h("li", { class: "row" }, h("a", { class: "row-title", href: jobAddress(job) }, job.name), h("p", { class: "small" }, jobLine(job))))),
      h("p", { class: "buttons" }, button(say("Delete this car"), forget, "quiet"))),
    toJobs());
}

/**
 * @param {Car} car
 * @param {"name" | "engine" | "mileage"} name
 * @param {string} label
 */
const field = (car, name, label) => h("p", {}, h("label", { for: `car-${name}` }, label),
  h("input", { id: `car-${name}`, type: "text", maxlength: "80", value: car[name], onchange: ({ target }) => {
    car[name] = target.value.trim() || (name === "name" ? car.name : "");
    saveCar(car);
  } }));
