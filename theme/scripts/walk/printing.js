/* However a job is printed, its report is what comes out. */

/** @import { Reported } from "./report.js" */
import { h } from "../show/dom.js";
import { report } from "./report.js";

/** @type {Reported | null} */
let printed = null;

/**
 * What comes out when the page is printed.
 * @param {Reported | null} job
 */
export const printAs = (job) => { printed = job; };

export function followPrinting() {
  addEventListener("beforeprint", () => {
    if (!printed || document.querySelector(".print-report")) return;
    document.body.append(h("pre", { class: "print-report" }, report(...printed)));
    document.documentElement.classList.add("printing-report");
  });
  addEventListener("afterprint", () => {
    document.querySelectorAll(".print-report").forEach((sheet) => sheet.remove());
    document.documentElement.classList.remove("printing-report");
  });
}
