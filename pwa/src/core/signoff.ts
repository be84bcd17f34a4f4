/** Why the night is not complete yet: vehicles, cases, the walk. */
import { held } from "./release";
import type { Held, Leg, State, StopState } from "./state";

export function signoffHeld(legs: Leg[], walk: StopState[]): Held[] {
  const used = legs.filter((leg) => leg.due.length + leg.on.length > 0);
  return [
    ...used
      .filter((leg) => leg.released === null)
      .map(({ vehicle }) => held("vehicles", { vehicle })),
    ...legs.flatMap(({ vehicle, not_on }) =>
      not_on
        .filter((one) => !one.accounted)
        .map(({ code, row, status }) => held("cases", { code, row, vehicle, what: status })),
    ),
    ...walk
      .filter(({ done }) => !done)
      .map(({ id, ok }) =>
        held("walk", { check: id, what: ok === false ? "not_ok" : "unanswered" }),
      ),
  ];
}

export function signoffReasons(state: State): Held[] {
  return state.signoff_held;
}
