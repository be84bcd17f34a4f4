/** What a new revision of the plan wants elsewhere: case by case, from where to where. */
import type { Bundle, PlaceSheet } from "./bundle";

export interface Spot {
  vehicle: string;
  row: number;
  place: PlaceSheet;
}

/** `from` null: the case is new on the show; `to` null: it goes no longer, or has no place. */
export interface PlanMove {
  code: string;
  from: Spot | null;
  to: Spot | null;
}

/** Cases that another revision plans for another vehicle, row, side or stance, by code. */
export function planMoves(before: Bundle, next: Bundle): PlanMove[] {
  const [old, now] = [spots(before), spots(next)];
  const codes = [...new Set([...old.keys(), ...now.keys()])].sort();
  return codes
    .map((code) => ({ code, from: old.get(code) ?? null, to: now.get(code) ?? null }))
    .filter(({ from, to }) => !from || !to || said(from) !== said(to));
}

/** A place as the crew hears it; a hand's breadth along the row makes no difference. */
function said({ vehicle, row, place }: Spot): string {
  return [vehicle, row, place.side, place.stance, place.turned, ...place.on].join(" ");
}

function spots(bundle: Bundle): Map<string, Spot> {
  const found = new Map<string, Spot>();
  for (const { id, rows } of bundle.vehicles)
    for (const row of rows)
      for (const place of row.places)
        found.set(place.code, { vehicle: id, row: row.number, place });
  return found;
}
