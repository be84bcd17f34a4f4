/** Which label of a photo is meant: the same rule as for the live picture. */
import { nearestFirst, TOO_CLOSE } from "./aim";
import { WHOLE, type Hit } from "./hits";

/** The text nearest to the middle; with others where they are about as near. */
export function aimedAt(hits: readonly Hit[]): string[] {
  const [first, ...others] = nearestFirst(hits, WHOLE);
  if (!first) return [];
  const close = others.filter(({ far }) => far - first.far < TOO_CLOSE);
  return [first, ...close].map(({ hit }) => hit.text);
}
