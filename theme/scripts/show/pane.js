/* A drawing that fits its frame, and can be enlarged, dragged and pinched; by keyboard as well. */

import { say } from "../site/words.js";
import { h } from "./dom.js";

/** How many times a drawing can be enlarged. */
const MOST = 8;
const STEP = 1.5;
/** How far an arrow key moves it, as a share of what is seen. */
const NUDGE = 0.15;

/**
 * What is seen of a drawing of a size: its middle, and how many times it is enlarged; never beyond its edges.
 * @param {{width: number, height: number}} size
 */
export function pane({ width, height }) {
  let scale = 1, x = width / 2, y = height / 2;
  const hold = () => {
    scale = Math.min(MOST, Math.max(1, scale));
    const [halfWidth, halfHeight] = [width / scale / 2, height / scale / 2];
    x = Math.min(width - halfWidth, Math.max(halfWidth, x));
    y = Math.min(height - halfHeight, Math.max(halfHeight, y));
  };
  return {
    get scale() { return scale; },
    /** What is seen: left, top, width, height. */
    get box() { return [x - width / scale / 2, y - height / scale / 2, width / scale, height / scale]; },
    /** @type {(factor: number, to?: {x: number, y: number}) => void} enlarge; what is seen at a point stays there */
    enlarge(factor, to = { x, y }) {
      const before = scale;
      scale = Math.min(MOST, Math.max(1, scale * factor));
      x = to.x + (x - to.x) * before / scale;
      y = to.y + (y - to.y) * before / scale;
      hold();
    },
    /** @type {(right: number, down: number) => void} move by shares of what is seen */
    move(right, down) {
      x += right * width / scale;
      y += down * height / scale;
      hold();
    },
    /** @type {(to: {x: number, y: number}) => void} */
    show(to) {
      ({ x, y } = to);
      hold();
    },
    whole() {
      scale = 1;
      hold();
    },
  };
}

/**
 * @param {HTMLElement} frame
 * @param {SVGSVGElement} drawing
 */
export function enlargeable(frame, drawing) {
  const full = drawing.viewBox.baseVal;
  const { x: left, y: top } = full;
  const view = pane({ width: full.width, height: full.height });
  const draw = () => {
    const [x, y, width, height] = view.box;
    drawing.setAttribute("viewBox", [x + left, y + top, width, height].map((figure) => figure.toFixed(2)).join(" "));
    frame.classList.toggle("enlarged", view.scale > 1);
  };
  /** @type {(act: () => void) => void} */
  const then = (act) => { act(); draw(); };

  /** @param {{clientX: number, clientY: number}} at */
  const pointAt = ({ clientX, clientY }) => {
    const box = drawing.getBoundingClientRect();
    const [x, y, width, height] = view.box;
    return { x: x + (clientX - box.left) / box.width * width, y: y + (clientY - box.top) / box.height * height };
  };

  /** @type {Map<number, PointerEvent>} */
  const fingers = new Map();
  let moved = 0;
  /** @param {PointerEvent[]} two */
  const apart = ([a, b]) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
  drawing.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, event);
    moved = 0;
  });
  drawing.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const others = [...fingers.values()].filter((one) => one !== before);
    const box = drawing.getBoundingClientRect();
    if (others.length) {
      const middle = { clientX: (event.clientX + others[0].clientX) / 2, clientY: (event.clientY + others[0].clientY) / 2 };
      then(() => view.enlarge(apart([event, others[0]]) / (apart([before, others[0]]) || 1), pointAt(middle)));
    } else if (view.scale > 1) {
      then(() => view.move((before.clientX - event.clientX) / box.width, (before.clientY - event.clientY) / box.height));
    }
    moved += Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY);
    if (moved > 5 && view.scale > 1 && !others.length && !drawing.hasPointerCapture(event.pointerId)) drawing.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, event);
  });
  for (const end of /** @type {const} */ (["pointerup", "pointercancel"])) {
    drawing.addEventListener(end, (event) => {
      fingers.delete(event.pointerId);
      if (moved > 5) frame.focus({ preventScroll: true });
    });
  }
  // A drag that ends on a box is no press of it.
  drawing.addEventListener("click", (event) => { if (moved > 5 && view.scale > 1) event.preventDefault(); }, true);
  drawing.addEventListener("dragstart", (event) => event.preventDefault());
  drawing.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    then(() => view.enlarge(event.deltaY < 0 ? STEP : 1 / STEP, pointAt(event)));
  }, { passive: false });

  /** @type {Map<string, () => void>} */
  const keys = new Map([
    ["+", () => view.enlarge(STEP)], ["-", () => view.enlarge(1 / STEP)], ["0", () => view.whole()],
    ["ArrowLeft", () => view.move(-NUDGE, 0)], ["ArrowRight", () => view.move(NUDGE, 0)],
    ["ArrowUp", () => view.move(0, -NUDGE)], ["ArrowDown", () => view.move(0, NUDGE)],
  ]);
  frame.addEventListener("keydown", (event) => {
    const act = keys.get(event.key);
    if (!act || event.ctrlKey || event.altKey || event.metaKey || (event.key.startsWith("Arrow") && view.scale === 1)) return;
    event.preventDefault();
    then(act);
  });
  // A box that gets the focus by keyboard comes into view.
  drawing.addEventListener("focusin", (event) => {
    if (view.scale === 1 || !(event.target instanceof Element) || !event.target.matches(":focus-visible")) return;
    const box = event.target.getBoundingClientRect();
    then(() => view.show(pointAt({ clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 })));
  });
  addEventListener("beforeprint", () => then(() => view.whole()));

  /** @type {(text: string, act: () => void) => HTMLElement} */
  const button = (text, act) => h("button", { type: "button", class: "small-button", onclick: () => then(act) }, text);
  frame.after(h("p", { class: "buttons drawing-tools" },
    button(say("Enlarge"), () => view.enlarge(STEP)), button(say("Make smaller"), () => view.enlarge(1 / STEP)), button(say("Show all"), () => view.whole())));
}
