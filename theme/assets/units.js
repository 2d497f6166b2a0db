/* Which of the two systems of units stands first in a quantity, as the owner of this device likes it. */
"use strict";
var droplight = globalThis.droplight || (globalThis.droplight = {});

droplight.units = (() => {
  const { store } = droplight;
  const first = () => store.units() || document.documentElement.dataset.units;

  /** Within an element, the wanted figure of each quantity goes first and the other one in brackets. */
  function order(within) {
    for (const quantity of within.querySelectorAll(".quantity")) {
      const [one, other] = quantity.children;
      if (!one.classList.contains(first())) quantity.replaceChildren(other, " (", one, ")");
    }
  }

  function choice(form) {
    const radios = [...form.querySelectorAll("input[name='units']")];
    const show = () => radios.forEach((radio) => { radio.checked = radio.value === first(); });
    radios.forEach((radio) => radio.addEventListener("change", () => store.saveUnits(radio.value)));
    form.querySelector("#reset").addEventListener("click", () => {
      store.removeEntry("units");
      show();
    });
    show();
  }

  order(document);
  document.querySelectorAll("#settings").forEach(choice);
  addEventListener("storage", () => order(document));

  return { order };
})();
