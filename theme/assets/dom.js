/* Small helpers for building pages in the browser. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.dom = (() => {
  const root = document.documentElement.dataset.root || "";

  /** An element; text stays text. `on…` attributes are listeners, `false` and `null` leave an attribute out. */
  function h(tag, attributes = {}, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (value === false || value === null || value === undefined) continue;
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
    return element;
  }

  /** A piece of a page that the build wrote and escaped. */
  function built(html, tag = "div") {
    const box = document.createElement(tag);
    box.innerHTML = html;
    droplight.units.order(box);
    return box;
  }

  const loading = new Map();

  /** Run one of the site's data files; works from a folder too, where nothing can be fetched. */
  function load(file) {
    if (!loading.has(file)) {
      loading.set(file, new Promise((resolve, reject) => {
        const script = h("script", { src: root + file });
        script.onload = () => resolve();
        script.onerror = () => {
          loading.delete(file);
          script.remove();
          reject(new Error(file));
        };
        document.head.append(script);
      }));
    }
    return loading.get(file);
  }

  /** Offer a text as a file. */
  function download(name, type, text) {
    const url = URL.createObjectURL(new Blob([text], { type }));
    const link = h("a", { href: url, download: name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
  }

  const models = Object.create(null);
  droplight.take = (kind, name, value) => {
    if (kind === "playbook") models[name] = value;
    else droplight[kind] = value;
  };

  async function model(slug) {
    if (!models[slug]) await load(`data/${slug}.js`);
    if (!models[slug]) throw new Error(slug);
    return models[slug];
  }

  const bar = (share) => {
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    svg.setAttribute("viewBox", "0 0 100 4");
    svg.setAttribute("preserveAspectRatio", "none");
    svg.setAttribute("aria-hidden", "true");
    const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    rect.setAttribute("width", (share * 100).toFixed(2));
    rect.setAttribute("height", "4");
    svg.append(rect);
    return svg;
  };

  return { root, h, built, load, download, model, models, bar };
})();
