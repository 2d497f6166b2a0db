/* What was seen and tried, in words. */

/** @import { Reading as Figure, Seen, Tried } from "../made/jobschema.js" */
import { say } from "../site/words.js";

/**
 * A figure that was measured, as it was noted.
 * @param {Figure | undefined} reading
 */
export const readingText = (reading) => (reading && reading.unit ? `${reading.value} ${reading.unit}` : "");

/** @param {Record<string, number> | undefined} weights */
export const isSoft = (weights) => Object.keys(weights || {}).length > 0;

/** @param {Tried} tried */
export function outcomeText({ outcome }) {
  if (outcome === "still") return say("repaired, but the fault came back");
  if (outcome === "gone") return say("repaired, and the fault is gone");
  return outcome === "left" ? say("closed") : say("repaired, being proven");
}

/**
 * What was seen, with all that goes with it.
 * @param {Seen} seen
 */
export function seenText(seen) {
  const reading = readingText(seen.reading);
  return [
    reading ? `${seen.expect} (${reading})` : seen.expect,
    isSoft(seen.weights) ? say("not sure") : "", seen.source ? say("known from: {source}", { source: seen.source }) : seen.known ? say("known before") : "",
  ].filter(Boolean).join(" – ");
}
