/** What the next scan will ask of the night is worked out ahead, while nobody waits for it. */
import { effect } from "@preact/signals";
import { nextUp } from "../core/next-up";
import { bundle, move, session, state, vehicleId } from "./signals";

/** Long enough for an answer to be drawn, shorter than anybody takes to the next label. */
const AFTER_MS = 50;

export function keepWarm(): void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  effect(() => {
    const [sheet, night, at, vehicle] = [bundle.value, state.value, move.value, vehicleId.value];
    const device = session.value?.device ?? "";
    clearTimeout(timer);
    if (!sheet || !night || !at || !vehicle) return;
    // the steps ask for every vehicle's tally of this move, and both stay with the state
    timer = setTimeout(() => nextUp(night, sheet, { move: at, vehicle, device }), AFTER_MS);
  });
}
