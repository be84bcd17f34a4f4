/** Amounts as people type them, in the units of the show. */
import type { Bundle } from "../../core/bundle";
import { readLength, readMass, type Read } from "../../core/measures";

type Units = Bundle["units"];

/** What people type in the show's units, as micrometres or grams; null where it is no amount. */
export function typedLength(text: string, units: Units): number | null {
  return above(readLength(text, units.length));
}
export function typedMass(text: string, units: Units): number | null {
  return above(readMass(text, units.mass));
}
const above = (read: Read): number | null => (read.ok && read.value > 0 ? read.value : null);
