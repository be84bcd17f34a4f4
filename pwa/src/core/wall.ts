/**
 * What a screen at the dock door shows without a touch: pages that take turns, by the clock alone.
 *
 * By the clock, so that two screens side by side show the same, and one that was off joins in.
 */
import type { NightSummary, VehicleSummary } from "./night-summary";

/** `next`: what comes next for all. `missing`: codes. `time`: when it closes. `rows`: who holds which. */
export type WallPage = "next" | "missing" | "time" | "rows" | "done";

interface WallTurn {
  vehicle: VehicleSummary;
  page: WallPage;
  /** Of how many pages this is which, from 1. */
  at: number;
  of: number;
}

/** Long enough to be read from five metres by somebody who carries a case past it. */
export const TURN_MS = 8_000;

/** Pages of one vehicle; what has nothing to say takes no turn. */
export function pagesOf(vehicle: VehicleSummary): WallPage[] {
  const open = vehicle.done < vehicle.due;
  const pages: WallPage[] = [open ? "next" : "done"];
  if (vehicle.missing.length > 0) pages.push("missing");
  if (open && vehicle.close) pages.push("time");
  if (open && vehicle.rows.some((row) => row.holder !== null)) pages.push("rows");
  return pages;
}

/** The page that is up at a moment: of vehicles that are worked; of all, once none is. */
export function turnAt(night: NightSummary, now: number): WallTurn | null {
  const worked = night.vehicles.filter(({ released }) => released === null);
  const shown = worked.length > 0 ? worked : night.vehicles;
  const turns = shown.flatMap((vehicle) => pagesOf(vehicle).map((page) => ({ vehicle, page })));
  const at = Math.floor(now / TURN_MS) % Math.max(1, turns.length);
  const turn = turns[at];
  return turn ? { ...turn, at: at + 1, of: turns.length } : null;
}
