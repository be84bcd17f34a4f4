/** Mass and floor: how much is used, how much is left, which of the two bites first. */
import type { Bundle, VehicleSheet } from "../../core/bundle";
import type { Leg } from "../../core/state";
import { t } from "../../i18n";
import { worstGrams } from "../shared/names";
import { length, mass } from "../shared/format";

export interface Bar {
  word: string;
  share: number;
  left: string;
  over: boolean;
}

/** Floor in use: the depth of every row in which something stands. */
function floorUsed(one: VehicleSheet, leg: Leg): number {
  const begun = new Set(leg.rows.filter((row) => row.on.length > 0).map((row) => row.number));
  const used = one.rows.filter((row) => begun.has(row.number));
  return used.reduce((sum, row) => sum + row.depth_um, 0);
}

export function left(one: VehicleSheet, leg: Leg, units: Bundle["units"]) {
  return { bars: bars(one, leg.mass_g, floorUsed(one, leg), units), first: first(one) };
}

function bars(one: VehicleSheet, grams: number, used: number, units: Bundle["units"]): Bar[] {
  const found: Bar[] = [];
  if (one.payload_g !== null) {
    const free = one.payload_g - grams;
    found.push({
      word: t("chief.mass"),
      share: grams / one.payload_g,
      over: free < 0,
      left: said(free, (value) => mass(value, units, free < 0 ? "up" : "down")),
    });
  }
  const free = one.length_um - used;
  found.push({
    word: t("chief.floor"),
    share: used / one.length_um,
    over: free < 0,
    left: said(free, (value) => length(value, units, free < 0 ? "up" : "down")),
  });
  return found;
}

/** With everything that is due here on board, and one case more: it takes floor at its narrowest. */
export function leftAtTheEnd(one: VehicleSheet, leg: Leg, sheet: Bundle, more: string): Bar[] {
  const codes = new Set([...leg.due, ...leg.on]);
  const planned = codes.has(more);
  const used = [...codes.add(more)].reduce((sum, code) => sum + worstGrams(code), 0);
  const card = sheet.cases[more];
  const depth = planned || !card ? 0 : Math.min(card.length_um, card.width_um);
  const floor = one.floor_length_um + depth;
  return bars(one, used, floor, sheet.units);
}

export const said = (free: number, words: (value: number) => string): string =>
  t(free < 0 ? "chief.over" : "chief.left", { what: words(Math.abs(free)) });

/** By the plan: the limit of which the larger share is used when all is on board. */
function first(one: VehicleSheet): string | null {
  if (one.payload_g === null) return null;
  const byMass = one.mass_g / one.payload_g;
  const byFloor = one.floor_length_um / one.length_um;
  return t(byMass >= byFloor ? "chief.mass_first" : "chief.floor_first", {
    share: Math.round(Math.max(byMass, byFloor) * 100),
    other: Math.round(Math.min(byMass, byFloor) * 100),
  });
}
