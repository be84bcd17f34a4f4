/** What must happen before a case can stand in its place, or come off: order is physical. */
import type { Bundle } from "./bundle";
import { isLoading } from "./facts";
import { filledPlaces, placesOf, wantsStraps, type Places } from "./next-up";
import type { Leg } from "./state";

interface InTheWay {
  /** Cases that go before this one: those it stands on, or (unloading) those that stand on it. */
  first: string[];
  /** Rows nearer the door in which something stands already. */
  in_front: number[];
  /** Rows nearer the bulkhead that lack a case, a strap or their filling: this one would bury them. */
  leaves_open: number[];
}

export function inTheWay(bundle: Bundle, leg: Leg, code: string, row: number | null): InTheWay {
  const sheet = bundle.vehicles.find(({ id }) => id === leg.vehicle);
  const places = placesOf(sheet?.rows ?? []);
  const own = leg.place_of[code];
  const found: InTheWay = { first: [], in_front: [], leaves_open: [] };
  if (leg.move === "put_away") return found;
  const seen = new Set<string>();
  if (own != null)
    found.first = isLoading(leg.move)
      ? below(leg, places, own, seen)
      : above(leg, places, own, seen);
  if (row === null || !isLoading(leg.move)) return found;
  for (const one of leg.rows) {
    if (one.number > row && one.on.length > 0) found.in_front.push(one.number);
    if (one.number >= row) continue;
    const open = one.due.filter((each) => !Object.hasOwn(leg.row_of, each)).length;
    if ((open > 0 && !one.called_full) || wantsStraps(one, open))
      found.leaves_open.push(one.number);
  }
  return found;
}

/** Cases due in the places below that nothing fills yet, the lowest first. */
function below(leg: Leg, places: Places, place: string, seen: Set<string>): string[] {
  const filled = filledPlaces(leg);
  const found: string[] = [];
  for (const one of places.get(place)?.place.on ?? []) {
    if (filled.has(one) || seen.has(one)) continue;
    seen.add(one);
    found.push(...below(leg, places, one, seen));
    const due = leg.due.find((code) => leg.place_of[code] === one);
    // what the chief accounted for does not come: nobody need wait for it
    if (due !== undefined) found.push(due);
  }
  return found;
}

/** Cases on board that stand on a place, the highest first. */
function above(leg: Leg, places: Places, place: string, seen: Set<string>): string[] {
  const found: string[] = [];
  for (const code of leg.on) {
    const own = leg.place_of[code];
    if (own == null || seen.has(own) || !places.get(own)?.place.on.includes(place)) continue;
    seen.add(own);
    found.push(...above(leg, places, own, seen), code);
  }
  return found;
}
