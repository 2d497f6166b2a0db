/* Follows the library: takes a page anew when it has changed, and shows findings over the last good one. Preview only. */
"use strict";

(() => {
  const script = document.currentScript;
  const site = script ? script.dataset.site : "";
  const waits = Boolean(document.getElementById("preview-waits"));
  const KEY = `droplight preview ${location.pathname}`;
  const AGAIN = 500;

  /** @param {number} time in milliseconds */
  const pause = (time) => new Promise((resolve) => { setTimeout(resolve, time); });

  function reload() {
    // A page that waits has no place worth going back to, and must not overwrite the one before it.
    if (!waits) sessionStorage.setItem(KEY, JSON.stringify([scrollX, scrollY]));
    history.scrollRestoration = "manual";
    location.reload();
  }

  function goBackToPlace() {
    const place = sessionStorage.getItem(KEY);
    if (!place || waits) return;
    sessionStorage.removeItem(KEY);
    const [left, top] = JSON.parse(place);
    scrollTo({ left, top, behavior: "instant" });
    history.scrollRestoration = "auto";
  }

  /** @param {string} html */
  function show(html) {
    let panel = document.querySelector(".preview-panel");
    if (!html) {
      if (panel) panel.remove();
      return;
    }
    if (!panel) {
      panel = document.createElement("aside");
      panel.className = "preview-panel";
      panel.setAttribute("aria-label", "Findings");
      panel.setAttribute("aria-live", "polite");
      document.body.append(panel);
    }
    panel.innerHTML = html;
  }

  /**
   * Asks only while the page is seen: a browser keeps few connections to one host.
   * @returns {Promise<void>}
   */
  function seen() {
    if (document.visibilityState === "visible") return Promise.resolve();
    return new Promise((resolve) => { document.addEventListener("visibilitychange", resolve, { once: true }); }).then(seen);
  }

  /** @param {string} state the last one that was seen */
  async function ask(state) {
    const leaving = new AbortController();
    const leave = () => leaving.abort();
    document.addEventListener("visibilitychange", leave, { once: true });
    try {
      const answer = await fetch(`/.preview/state?seen=${state}`, { cache: "no-store", signal: leaving.signal });
      return await answer.json();
    } finally {
      document.removeEventListener("visibilitychange", leave);
    }
  }

  async function follow() {
    let state = "";
    for (;;) {
      await seen();
      try {
        const now = await ask(state);
        if (now.site !== site) {
          reload();
          return;
        }
        if (now.state !== state) show(now.panel);
        state = now.state;
      } catch {
        await pause(AGAIN);
      }
    }
  }

  if (document.readyState === "complete") goBackToPlace();
  else addEventListener("load", goBackToPlace);
  follow();
})();
