/* The theme's texts in the language of the site; they are English in the source and name themselves. */

/**
 * A text in the site's language, with its {values} filled in.
 * @param {string} text
 * @param {Record<string, string | number>} [values]
 */
export function say(text, values = {}) {
  const { texts = {} } = droplight;
  return (texts[text] || text).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}
