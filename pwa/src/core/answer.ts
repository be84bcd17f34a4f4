/** What the phone says at once when a code is scanned, and where the case goes. */
import type { Bundle, Move } from "./bundle";
import { isLoading } from "./facts";
import { inTheWay } from "./in-the-way";
import { carried, clear, nextUp, placesOf } from "./next-up";
import { isDamaged } from "./put-away";
import type { ExcuseWhy } from "./events";
import type { CaseMark, Excuse, Leg, State } from "./state";

export type AnswerKind =
  | "right_next"
  | "right"
  | "checks_first"
  | "already_on"
  | "already_off"
  | "other_vehicle"
  | "stray"
  | "unknown"
  | "damaged"
  | "swapped"
  | "excused";

/**
 * `right_next`: due here and in the row being worked. `right`: due here, another row or not yet
 * carried. `damaged` (at the shop load only): due, but marked; elsewhere `damaged` is just said.
 * `stands_on`: recorded on another vehicle; putting it on moves it here and leaves a conflict.
 * `first`, `in_front`, `leaves_open`: what is in its way, as `in-the-way.ts` says.
 * `checks_first`: right otherwise, yet `checks` are open that come before the first case.
 */
export interface Answer {
  kind: AnswerKind;
  code: string;
  row: number | null;
  place_code: string | null;
  home: string | null;
  by: string | null;
  at: number | null;
  vehicle: string | null;
  stands_on: string | null;
  why: ExcuseWhy | null;
  for_code: string | null;
  damaged: boolean;
  due: boolean;
  first: string[];
  in_front: number[];
  leaves_open: number[];
  checks: string[];
}

export interface Scan {
  code: string;
  move: Move;
  vehicle: string;
  device?: string;
}

export function answerScan(state: State, bundle: Bundle, scan: Scan): Answer {
  const legs = state.legs[scan.move];
  const own = legs[scan.vehicle];
  const others = bundle.vehicles.flatMap(({ id }) => (id === scan.vehicle ? [] : (legs[id] ?? [])));
  const card = Object.hasOwn(bundle.cases, scan.code) ? bundle.cases[scan.code] : undefined;
  const base: Answer = {
    kind: "stray",
    code: scan.code,
    row: null,
    place_code: null,
    home: card?.home ?? null,
    by: null,
    at: null,
    vehicle: null,
    stands_on: null,
    why: null,
    for_code: null,
    damaged: isDamaged(bundle, state, scan.code),
    due: false,
    first: [],
    in_front: [],
    leaves_open: [],
    checks: [],
  };
  if (own === undefined || (card === undefined && !Object.hasOwn(state.added, scan.code)))
    return { ...base, kind: "unknown" };
  const judge = isLoading(scan.move) ? loading : unloading;
  const found = judge(base, state, bundle, scan, [own, ...others]);
  const checks = own.before_open;
  if (checks.length === 0 || !(found.kind === "right" || found.kind === "right_next")) return found;
  return { ...found, kind: "checks_first", checks };
}

function loading(
  base: Answer,
  state: State,
  bundle: Bundle,
  scan: Scan,
  [own, ...others]: [Leg, ...Leg[]],
): Answer {
  const { code } = scan;
  if (Object.hasOwn(own.row_of, code))
    return { ...base, ...said(own.marks[code]), kind: "already_on", row: own.row_of[code] ?? null };
  if (own.due.includes(code)) {
    const stands_on = others.find((leg) => leg.on.includes(code))?.vehicle ?? null;
    const row = rowOf(bundle, own, code);
    const way = inTheWay(bundle, own, code, row);
    const place_code = own.place_of[code] ?? null;
    const found = { ...base, ...way, row, place_code, stands_on, due: true };
    if (base.damaged && scan.move === "shop_load") return { ...found, kind: "damaged" };
    return { ...found, kind: isNext(state, bundle, scan, own, row) ? "right_next" : "right" };
  }
  const elsewhere = others.find((leg) => leg.due.includes(code));
  const excuse = [own, ...others].map((leg) => leg.excused[code]).find((one) => one !== undefined);
  if (elsewhere !== undefined)
    return { ...base, kind: "other_vehicle", vehicle: elsewhere.vehicle, due: true };
  return excuse === undefined ? base : excused(base, excuse);
}

function unloading(
  base: Answer,
  state: State,
  bundle: Bundle,
  scan: Scan,
  legs: [Leg, ...Leg[]],
): Answer {
  const { code, move } = scan;
  const off = legs.find((leg) => leg.off.includes(code));
  if (off !== undefined) return { ...base, ...said(off.marks[code]), kind: "already_off" };
  const leg = legs.find((one) => one.on.includes(code));
  if (leg === undefined) {
    const excuse = legs.map((one) => one.excused[code]).find((one) => one !== undefined);
    return excuse === undefined ? base : excused(base, excuse);
  }
  const row = leg.row_of[code] ?? null;
  const way = inTheWay(bundle, leg, code, row);
  const found = { ...base, ...way, row, place_code: leg.place_of[code] ?? null, due: true };
  if (move === "put_away") return { ...found, kind: "right_next" };
  if (leg.vehicle !== scan.vehicle)
    return { ...found, kind: "other_vehicle", vehicle: leg.vehicle };
  return { ...found, kind: isNext(state, bundle, scan, leg, row) ? "right_next" : "right" };
}

/** In the row of the first step, and nothing in its way. */
function isNext(state: State, bundle: Bundle, scan: Scan, leg: Leg, row: number | null): boolean {
  const first = nextUp(state, bundle, scan).find((step) => step.kind === "case");
  if (first === undefined || first.row !== row) return first?.code === scan.code;
  const places = placesOf(bundle.vehicles.find(({ id }) => id === leg.vehicle)?.rows ?? []);
  const free = isLoading(scan.move) ? carried : clear;
  return free(leg, places, scan.code);
}

function rowOf(bundle: Bundle, leg: Leg, code: string): number | null {
  const sheet = bundle.vehicles.find(({ id }) => id === leg.vehicle);
  return placesOf(sheet?.rows ?? []).get(leg.place_of[code] ?? "")?.row ?? null;
}

function said(mark: CaseMark | undefined): { by: string | null; at: number | null } {
  return { by: mark?.by ?? null, at: mark?.at ?? null };
}

function excused(base: Answer, excuse: Excuse): Answer {
  const { why, by, at, for_code, to_vehicle } = excuse;
  const kind = why === "swapped" ? "swapped" : "excused";
  return { ...base, kind, why, by, at, for_code, vehicle: to_vehicle };
}

/** Strapped rows that stand between the door and a row, door first: to be opened to reach it. */
export function rowsToOpen(leg: Leg, row: number): number[] {
  return leg.rows
    .filter((one) => one.number >= row && one.counted !== null)
    .map((one) => one.number)
    .sort((a, b) => b - a);
}
