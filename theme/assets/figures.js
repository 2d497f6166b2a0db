/* Figures as people read them, by the site's locale; the same rounding as builder/draw/figures.py. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.figures = (() => {
  const { lang } = document.documentElement;
  const { currency } = document.documentElement.dataset;
  const whole = new Intl.NumberFormat(lang, { style: "currency", currency, maximumFractionDigits: 0, minimumFractionDigits: 0 });
  const exact = new Intl.NumberFormat(lang, { style: "currency", currency });
  const percent = new Intl.NumberFormat(lang, { style: "percent", maximumFractionDigits: 0 });

  function money(amount) {
    const cents = Math.round(amount * 100) / 100;
    return Math.abs(amount) < 20 && cents !== Math.trunc(cents) ? exact.format(cents) : whole.format(Math.round(amount) + 0);
  }

  function about(amount) {
    const digits = String(Math.trunc(Math.abs(amount))).length;
    const step = 10 ** Math.max(0, digits - 2);
    return whole.format(Math.round(amount / step) * step + 0);
  }

  function minutes(time) {
    if (time < 59.5) return `${Math.round(time) || (time > 0 ? 1 : 0)} min`;
    const fives = Math.round(time / 5) * 5;
    if (time >= 600 || fives % 60 === 0) return `${Math.round(time / 60)} h`;
    return `${Math.floor(fives / 60)} h ${fives % 60} min`;
  }

  function share(part) {
    const full = Math.round(part * 100);
    if (full === 0 && part > 0) return `< ${percent.format(0.01)}`;
    if (full === 100 && part < 1 - 1e-9) return `> ${percent.format(0.99)}`;
    return percent.format(full / 100);
  }

  const range = (low, high, write) => (write(low) === write(high) ? write(low) : `${write(low)} – ${write(high)}`);
  const date = (text) => new Intl.DateTimeFormat(lang, { dateStyle: "medium" }).format(new Date(text));

  return { money, about, minutes, share, range, date };
})();
