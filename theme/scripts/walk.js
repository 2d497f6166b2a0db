/* The walk: one thing a screen, from the fault to its proof. */

import { changedName, onProblem } from "./device/disk.js";
import { fitMeter } from "./walk/meter.js";
import { followPrinting } from "./walk/printing.js";
import { isShown, route } from "./walk/router.js";
import { drawnBy, guardUnsaved, isWriting, showProblem } from "./walk/stage.js";

drawnBy(route);
onProblem(showProblem);
followPrinting();
guardUnsaved();
addEventListener("hashchange", () => route(true));
addEventListener("resize", fitMeter);
addEventListener("pageshow", ({ persisted }) => { if (persisted) route(false); });
addEventListener("storage", (event) => {
  const name = changedName(event);
  if (name !== null && isShown(name) && !isWriting()) route(false);
});
route(false);
