/** What the crew must know of a case where it stands: what carries it, what comes off before it. */
import type { VehicleSheet } from "../../../core/bundle";

export interface Stands {
  row: number;
  on: readonly string[];
  carries: readonly string[];
  /** Cases that come off before it: those on top of it, and every row nearer the door. */
  first: readonly string[];
}

export function standsOf(sheet: VehicleSheet, code: string): Stands | null {
  const row = sheet.rows.find((each) => each.places.some((place) => place.code === code));
  const place = row?.places.find((each) => each.code === code);
  if (!row || !place) return null;
  const above = new Set<string>([code]);
  for (let grown = true; grown;) {
    grown = false;
    for (const each of row.places)
      if (!above.has(each.code) && each.on.some((below) => above.has(below))) {
        above.add(each.code);
        grown = true;
      }
  }
  above.delete(code);
  const nearer = sheet.rows.filter((each) => each.start_um > row.start_um);
  return {
    row: row.number,
    on: place.on,
    carries: row.places.filter((each) => each.on.includes(code)).map((each) => each.code),
    first: [...above, ...nearer.flatMap((each) => each.places.map((one) => one.code))],
  };
}
