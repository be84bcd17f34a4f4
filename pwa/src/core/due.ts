/** What is due on which vehicle in each move: planned, what rode in, what comes back. */
import type { Bundle, Move } from "./bundle";
import type { Facts, MoveFacts } from "./facts";
import type { Added } from "./state";

/** Both map a code to a vehicle; an excused case is accounted for on the vehicle it was due on. */
export interface Due {
  due: Map<string, string>;
  excused: Map<string, string>;
}

type DueByMove = Record<Move, Due>;

export function dueByMove(bundle: Bundle, facts: Facts, added: Record<string, Added>): DueByMove {
  const known = new Set(bundle.vehicles.map(({ id }) => id));
  const planned = plannedHere(bundle);
  addTo(planned, bundle, added, ["shop_load"]);
  const shop_load = excuse(planned, facts.shop_load, known);
  const load_in = excuse(cameOn(shop_load, facts.shop_load, known), facts.load_in, known);
  const back = rodeIn(load_in, facts.load_in, known);
  addTo(back, bundle, added, ["load_in", "load_out"]);
  for (const code of Object.keys(added)) if (!added[code]?.travels) back.delete(code);
  const load_out = excuse(back, facts.load_out, known);
  const put_away = excuse(cameOn(load_out, facts.load_out, known), facts.put_away, known);
  return { shop_load, load_in, load_out, put_away };
}

function plannedHere(bundle: Bundle): Map<string, string> {
  const due = new Map<string, string>();
  for (const vehicle of bundle.vehicles) {
    const codes = vehicle.rows.flatMap((row) => row.places.map((place) => place.code));
    for (const code of [...codes, ...vehicle.load]) if (!due.has(code)) due.set(code, vehicle.id);
  }
  return due;
}

/** Travelling added cases are due where they were added; without a vehicle, on the first. */
function addTo(
  due: Map<string, string>,
  bundle: Bundle,
  added: Record<string, Added>,
  moves: Move[],
): void {
  const first = bundle.vehicles[0]?.id;
  for (const code of Object.keys(added).sort()) {
    const one = added[code];
    if (one === undefined || !one.travels || !moves.includes(one.move)) continue;
    const named = bundle.vehicles.find(({ id }) => id === one.vehicle)?.id ?? first;
    if (named !== undefined) due.set(code, named);
  }
}

/** After a loading move: what stands on each vehicle; untracked vehicles hold what was due. */
function cameOn(before: Due, facts: MoveFacts, known: Set<string>): Map<string, string> {
  const due = new Map<string, string>();
  for (const [code, vehicle] of before.due) if (!facts.tracked.has(vehicle)) due.set(code, vehicle);
  for (const code of [...facts.stands.keys()].sort()) {
    const vehicle = facts.stands.get(code)?.vehicle;
    if (vehicle != null && known.has(vehicle)) due.set(code, vehicle);
  }
  return due;
}

/** What has to go back: all that rode in, by the vehicle it came off, and what stayed on board. */
function rodeIn(load_in: Due, facts: MoveFacts, known: Set<string>): Map<string, string> {
  const due = new Map(load_in.due);
  for (const [code, vehicle] of load_in.excused)
    if (facts.excuses.get(code)?.why === "left_on_purpose") due.set(code, vehicle);
  for (const code of [...facts.latest.keys()].sort()) {
    const mark = facts.latest.get(code);
    if (mark?.did === "off" && mark.vehicle !== null && known.has(mark.vehicle))
      due.set(code, mark.vehicle);
  }
  return due;
}

/** Take out what the chief accounts for; put in the spare, or the other vehicle. */
function excuse(base: Map<string, string>, facts: MoveFacts, known: Set<string>): Due {
  const due = new Map(base);
  const excused = new Map<string, string>();
  for (const [code, vehicle] of base) {
    const seen = new Set<string>();
    let name: string | null = code;
    while (name !== null && !seen.has(name)) {
      seen.add(name);
      const held = facts.excuses.get(name);
      if (held === undefined) {
        if (!due.has(name)) due.set(name, vehicle);
        break;
      }
      const to = held.why === "other_vehicle" ? held.to_vehicle : null;
      if (to === vehicle) break;
      due.delete(name);
      excused.set(name, vehicle);
      if (to !== null && known.has(to)) due.set(name, to);
      name = held.why === "swapped" ? held.for_code : null;
    }
  }
  return { due, excused };
}
