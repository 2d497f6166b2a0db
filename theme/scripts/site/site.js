/* What the build wrote on every page about its site. */

const { lang, dataset } = document.documentElement;

export { lang };
/** The way from this page to the top of the site. */
export const root = dataset.root || "";
export const site = dataset.site || "site";
export const currency = dataset.currency || "";
/** What a workshop charges for an hour, and what an hour of an owner is worth, by the site. */
export const rate = Number(dataset.rate);
export const hour = Number(dataset.hour);
/** The system of units that stands first: `si` or `us`. */
export const unitsFirst = dataset.units || "si";
/** Whether the site is read from a host, not from a folder. */
export const isServed = location.protocol.startsWith("http");
