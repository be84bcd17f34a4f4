/** The last cases that this phone booked, each of which may be taken back. */
import { isLoading } from "../core/facts";
import type { Move } from "../core/bundle";
import { knownEvents } from "./evening";
import { session, state } from "./signals";

export interface Recent {
  event: string;
  code: string;
  did: "on" | "off";
  at: number;
  move: Move;
  vehicle: string;
  row: number | null;
  /** Straps of its row were counted since: taking it back must open the row. */
  strapped: boolean;
}

const MOST = 10;

/** Newest first; only what still counts, and what this phone said itself. */
export function recentOwn(): Recent[] {
  const [device, now] = [session.value?.device, state.value];
  if (!device || !now) return [];
  const own = knownEvents().filter((event) => event.device === device);
  own.sort((a, b) => b.n - a.n);
  const found: Recent[] = [];
  for (const { id, move, vehicle, at, body } of own) {
    if (found.length === MOST) break;
    if ((body.kind !== "on" && body.kind !== "off") || vehicle === null) continue;
    const leg = now.legs[move][vehicle];
    const mark = leg?.marks[body.code];
    if (mark?.event !== id) continue;
    const row = leg?.row_of[body.code] ?? mark.row;
    const strapped =
      isLoading(move) && leg?.rows.find((one) => one.number === row)?.state === "strapped";
    found.push({ event: id, code: body.code, did: body.kind, at, move, vehicle, row, strapped });
  }
  return found;
}
