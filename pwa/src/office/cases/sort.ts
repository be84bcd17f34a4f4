/** How the fleet is searched and sorted. */
import type { FleetCase } from "../shared/api-types";

export const COLUMNS = ["code", "name", "department", "home", "size", "mass_g", "state"] as const;
export type Column = (typeof COLUMNS)[number];

const told = new WeakMap<FleetCase, string>();

/** All that a search looks at, made once a case. */
function text(each: FleetCase): string {
  let found = told.get(each);
  if (found === undefined) {
    found = [each.code, each.name, each.department, each.home, each.owner].join(" ").toLowerCase();
    told.set(each, found);
  }
  return found;
}

/** Whether a case holds every word of a search. */
export function matches(each: FleetCase, words: string): boolean {
  const all = text(each);
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
}

export function sorted(many: FleetCase[], by: Column, down: boolean): FleetCase[] {
  const key = (each: FleetCase): string | number =>
    by === "size" ? each.length_um * each.width_um * each.height_um : each[by];
  const compare = new Intl.Collator("en", { numeric: true }).compare;
  const way = down ? -1 : 1;
  return many.sort((one, other) => {
    const [a, b] = [key(one), key(other)];
    const found = typeof a === "number" ? a - Number(b) : compare(a, String(b));
    return way * (found || compare(one.code, other.code));
  });
}
