/** The order of steps of one vehicle in one move, and what is left of it. */
import type { Bundle, Move, PlaceSheet, RowSheet, VehicleSheet } from "../../core/bundle";
import { nextUp, type Where } from "../../core/next-up";
import type { Leg, State } from "../../core/state";

export const unloads = (move: Move): boolean => move === "load_in" || move === "put_away";

/** What is done and what is left, as crews say it of this move. */
export const countKey = (move: Move) =>
  move === "put_away" ? "next.count_home" : unloads(move) ? "next.count_off" : "next.count";
export const leftKey = (move: Move) => (move === "put_away" ? "tab.not_home" : "tab.not_off");

/** Codes due, in the order in which hands move them; what the plan does not know comes last. */
export function sequence(vehicle: VehicleSheet, leg: Leg, bundle: Bundle): string[] {
  const due = new Set(leg.due);
  const planned = unloads(leg.move) ? vehicle.unload : vehicle.load;
  const known = planned.filter((code) => due.has(code));
  const rest = leg.due.filter((code) => !planned.includes(code));
  const order = [...known, ...rest];
  if (leg.move !== "put_away") return order;
  const home = (code: string) => bundle.cases[code]?.home ?? "";
  return order.sort((a, b) => home(a).localeCompare(home(b), "en", { numeric: true }));
}

/** What is still to be done, next first: what came too late for its row comes last. */
export function ahead(night: State, bundle: Bundle, where: Where): string[] {
  const steps = nextUp(night, bundle, where);
  const codes = steps.flatMap((step) => (step.code === null ? [] : [step.code]));
  if (where.move !== "put_away") return codes;
  const home = (code: string) => bundle.cases[code]?.home ?? "";
  return codes.sort((a, b) => home(a).localeCompare(home(b), "en", { numeric: true }));
}

interface Found {
  row: RowSheet;
  place: PlaceSheet;
}

/** Where a case stands by the plan; a spare takes the place of the case that it goes for. */
export function placeOf(vehicle: VehicleSheet, code: string, leg: Leg | null = null): Found | null {
  const name = leg?.place_of[code] ?? code;
  for (const row of vehicle.rows) {
    const place = row.places.find((one) => one.code === name);
    if (place) return { row, place };
  }
  return null;
}

/** Is the case, or what goes in its stead, on board as this phone knows it? */
export const onBoard = (leg: Leg, place: string): boolean =>
  leg.on.includes(place) || leg.on.some((code) => leg.place_of[code] === place);
