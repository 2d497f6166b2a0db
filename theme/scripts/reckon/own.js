/* A playbook by the owner's own prices. */

/** @import { Amount, Model, Settings } from "../types.js" */

/**
 * The model with the owner's prices for parts in place of the catalogue's.
 * @param {Model} model
 * @param {Settings} settings
 * @returns {Model}
 */
export function priced(model, { parts: own = {} }) {
  if (!Object.keys(model.parts).some((name) => Object.hasOwn(own, name))) return model;
  const parts = Object.fromEntries(Object.entries(model.parts).map(([name, part]) => {
    /** @type {Amount} */
    const price = Object.hasOwn(own, name) ? [own[name], own[name], own[name]] : part.price;
    return [name, { ...part, price }];
  }));
  return { ...model, parts };
}
