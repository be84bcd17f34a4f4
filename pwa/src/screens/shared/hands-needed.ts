/** Do the hands that are here reach for a case on this ramp, as wet or icy as it is now? */
import { bundle, move, state } from "../../app-model";
import type { PlaceSheet, VehicleSheet } from "../../core/bundle";
import { crew, lifters, type Surface, type Way } from "../../core/hands";
import type { Leg } from "../../core/state";
import { t } from "../../i18n";
import { caseGrams } from "./names";

/** A wet or icy ramp is a hazard that everybody sees; its name tells whose ramp it is. */
export const slipperyRamp = (surface: Exclude<Surface, "dry">, vehicle: string): string =>
  `${surface === "ice" ? "icy" : "wet"}-ramp-${vehicle}`;

/** As said tonight; wet as the office planned it stays wet until the office plans anew. */
export function surfaceOf(vehicle: VehicleSheet): Surface {
  if (!vehicle.ramp) return "dry";
  const said = (name: string) => state.value?.hazards.some((one) => one.hazard === name) ?? false;
  if (said(slipperyRamp("ice", vehicle.id))) return "ice";
  return said(slipperyRamp("wet", vehicle.id)) || vehicle.ramp.wet ? "wet" : "dry";
}

export const isSlippery = (vehicle: VehicleSheet): boolean => surfaceOf(vehicle) !== "dry";

/** The ramp as measured at the venue in this move; null: nobody measured it. */
export const measuredRamp = (vehicle: VehicleSheet) =>
  (move.value && state.value?.legs[move.value][vehicle.id]?.ramp) ?? null;

function wayOf(vehicle: VehicleSheet): Way {
  const { ramp } = vehicle;
  const measured = measuredRamp(vehicle);
  return {
    rise: measured?.rise_um ?? ramp?.deck_height_um ?? 0,
    length: measured?.length_um ?? ramp?.length_um ?? 1,
    floor: measured?.floor ?? "good",
    surface: surfaceOf(vehicle),
    hands: bundle.value?.rules.hands ?? "mixed",
    rating_g: ramp?.rating_g ?? null,
    gate_g: ramp ? null : (vehicle.lift_gate?.rating_g ?? null),
  };
}

/** Everybody whom a case takes as it is now, the spotter among them; null: not by hand. */
export function handsNeeded(vehicle: VehicleSheet, place: PlaceSheet): number | null {
  const width = measuredRamp(vehicle)?.width_um ?? null;
  if (width !== null && Math.min(place.dx, place.dy) > width) return null;
  return crew(caseGrams(place.code) ?? 0, wayOf(vehicle), place);
}

/** People who lift or tip it by what it weighs now; 0: it only rolls, or no team lifts it. */
export const liftNow = (place: PlaceSheet): number =>
  lifters(caseGrams(place.code) ?? 0, place) ?? 0;

/** What the hardest case of a vehicle takes as it is now, of those that may go by hand: spares too. */
export function hardestNow(vehicle: VehicleSheet, leg: Leg | null): number {
  const all = vehicle.rows.flatMap((row) => row.places);
  const spares = Object.entries(leg?.place_of ?? {}).flatMap(([code, whose]) => {
    const place = whose === code ? undefined : all.find((one) => one.code === whose);
    return place ? [{ ...place, code }] : [];
  });
  return Math.max(0, ...[...all, ...spares].map((place) => handsNeeded(vehicle, place) ?? 0));
}

/** How many for this case as it is now, in words: one number, the spotter in it. */
export function peopleNow(vehicle: VehicleSheet, place: PlaceSheet): string {
  const n = handsNeeded(vehicle, place);
  if (!caseGrams(place.code)) return t("people.unweighed");
  if (n === null) return t("people.machine");
  if (wayOf(vehicle).rise > 0) return t("people.crew", { n });
  return place.lift > 0 ? t("people.lift", { n }) : t("people.push", { n });
}

/** How many are short for this case; 0 where hands were not counted, or none will do. */
export function handsShort(vehicle: VehicleSheet, leg: Leg, place: PlaceSheet): number {
  if (leg.hands === null) return 0;
  return Math.max(0, (handsNeeded(vehicle, place) ?? 0) - leg.hands);
}
