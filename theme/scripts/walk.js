/* The walk: one step a screen, from the fault to its proof. */

import { onProblem } from "./device/disk.js";
import { fitMeter } from "./walk/meter.js";
import { followPrinting } from "./walk/report.js";
import { route } from "./walk/router.js";
import { drawnBy, showProblem } from "./walk/stage.js";

drawnBy(() => { route(true); });
onProblem(showProblem);
followPrinting();
addEventListener("hashchange", () => route(true));
addEventListener("resize", fitMeter);
addEventListener("storage", () => { if (document.hidden) route(false); });
route(false);
