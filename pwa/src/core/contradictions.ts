/** Where the chief's account of a case speaks against what was recorded of it: both are kept. */
import { MOVES, type Bundle, type Move } from "./bundle";
import type { ExcuseWhy } from "./events";
import { isLoading } from "./facts";
import type { Contradiction, Excuse, Leg, Seen } from "./state";

export interface Recorded {
  legs: Record<Move, Record<string, Leg>>;
  last_seen: Record<string, Seen>;
  added: Record<string, unknown>;
}

/** In the order of the evening: move, vehicle, case. */
export function contradictions(bundle: Bundle, recorded: Recorded): Contradiction[] {
  const found: Contradiction[] = [];
  for (const move of MOVES)
    for (const { id } of bundle.vehicles) {
      const excused = recorded.legs[move][id]?.excused ?? {};
      for (const code of Object.keys(excused).sort()) {
        const excuse = excused[code];
        const seen = Object.hasOwn(recorded.last_seen, code) ? recorded.last_seen[code] : undefined;
        if (excuse === undefined) continue;
        if (excuse.why === "swapped" && !isCase(bundle, recorded, excuse.for_code))
          found.push(against(excuse, null));
        else if (seen !== undefined && speaksAgainst(excuse.why, excuse, seen))
          found.push(against(excuse, seen));
      }
    }
  return found;
}

/** Whether what the chief says of a case cannot be true of where it was last seen. */
export function speaksAgainst(
  why: ExcuseWhy,
  said: { move: Move; to_vehicle: string | null },
  seen: Seen,
): boolean {
  if (why === "never_came") return true;
  const aboard = isLoading(said.move) && seen.what === "on" && seen.move === said.move;
  return aboard && !(why === "other_vehicle" && seen.vehicle === said.to_vehicle);
}

function isCase(bundle: Bundle, { added }: Recorded, code: string | null): boolean {
  return code !== null && (Object.hasOwn(bundle.cases, code) || Object.hasOwn(added, code));
}

function against({ code, move, vehicle, why, note, by, at }: Excuse, seen: Seen | null) {
  return { code, move, vehicle, why, note, by, at, seen };
}
