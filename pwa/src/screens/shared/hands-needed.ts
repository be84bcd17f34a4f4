/** Do the hands that are here reach for a case on this ramp, as wet as it is now? */
import { state } from "../../app-model";
import type { PlaceSheet, VehicleSheet } from "../../core/bundle";
import type { Leg } from "../../core/state";
import { peopleWord } from "./format";

/** A wet ramp is a hazard that everybody sees; its name tells whose ramp it is. */
export const wetRamp = (vehicle: string): string => `wet-ramp-${vehicle}`;

/** Wet as said tonight; what the office knew beforehand is in the plan's figures already. */
export function isWet(vehicle: VehicleSheet): boolean {
  const name = wetRamp(vehicle.id);
  return state.value?.hazards.some((one) => one.hazard === name) ?? false;
}

/** One more on a ramp that has become wet (common practice, no source). */
const WET_MORE = 1;

export function handsNeeded(vehicle: VehicleSheet, place: PlaceSheet): number {
  const more = vehicle.ramp && isWet(vehicle) ? WET_MORE : 0;
  return Math.max(place.push + more, place.lift);
}

/** How many for this case as it is now, in words: on a wet ramp one more pushes. */
export function peopleNow(vehicle: VehicleSheet, place: PlaceSheet): string {
  const push = place.lift > 0 ? place.push : handsNeeded(vehicle, place);
  return peopleWord({ ...place, push });
}

/** How many are short for this case; 0 where hands were not counted. */
export function handsShort(vehicle: VehicleSheet, leg: Leg, place: PlaceSheet): number {
  if (leg.hands === null) return 0;
  return Math.max(0, handsNeeded(vehicle, place) - leg.hands);
}
