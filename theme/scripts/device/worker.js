/* The service worker, which keeps the whole site on the device for an owner who asks for it. */

import { isServed, root } from "../site/site.js";

/** Null where there can be none: in a folder, or in a browser that does not let sites have one. */
export const worker = isServed && navigator.serviceWorker ? navigator.serviceWorker : null;
export const scope = root || "./";
