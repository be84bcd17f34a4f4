/** The steps of this phone. */
import { computed } from "@preact/signals";
import { bundle, move, session, state, vehicleId } from "../../app-model";
import { ahead } from "./sequence";

/** Codes still to be done on this phone's vehicle and move, next first. */
export const stepsAhead = computed<readonly string[]>(() => {
  const [night, sheet, doing, vehicle] = [state.value, bundle.value, move.value, vehicleId.value];
  if (!night || !sheet || !doing || !vehicle) return [];
  const device = session.value?.device;
  return ahead(night, sheet, { move: doing, vehicle, ...(device ? { device } : {}) });
});
