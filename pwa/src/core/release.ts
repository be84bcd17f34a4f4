/** Why a vehicle may not go yet: every gate of DESIGN 5.3, each reason by itself. */
import type { Bundle, Move, VehicleSheet } from "./bundle";
import { overridable } from "./events";
import { isLoading } from "./facts";
import type { Held, Leg, State } from "./state";
import { leastShare, mostShare, SHARE_BLUR, within } from "./weight";

export type Gates = Omit<Leg, "held">;

export function held(gate: string, what: Partial<Held> = {}): Held {
  return {
    gate,
    code: null,
    row: null,
    check: null,
    device: null,
    vehicle: null,
    what: null,
    value: null,
    limit: null,
    ...what,
    overridable: overridable(gate),
  };
}

/** Every reason that still stands, overridden ones left out. */
export function heldReasons(sheet: VehicleSheet, leg: Gates, gaps: string[]): Held[] {
  const reasons = isLoading(leg.move)
    ? [
        ...cases(leg),
        ...rows(leg),
        ...checks(leg),
        ...unweighed(leg),
        ...unread(sheet, leg),
        ...masses(sheet, leg),
        ...unsent(leg, gaps),
      ]
    : [...cases(leg), ...checks(leg)];
  const said = new Set(leg.overridden.map(({ gate }) => gate));
  return reasons.filter(
    ({ gate, row, overridable: may }) => !(may && (said.has(gate) || said.has(`${gate}:${row}`))),
  );
}

function cases(leg: Gates): Held[] {
  return leg.not_on
    .filter((one) => !one.accounted)
    .map(({ code, row, status }) => held("cases", { code, row, what: status }));
}

function rows(leg: Gates): Held[] {
  const found: Held[] = [];
  for (const row of leg.rows) {
    if (row.on.length === 0) continue;
    const { number, needed, counted } = row;
    if (needed > 0 && (counted ?? 0) < needed)
      found.push(held("straps", { row: number, value: counted, limit: needed }));
    if (row.needs_fill && !row.filled) found.push(held("slack", { row: number }));
  }
  return found;
}

function checks(leg: Gates): Held[] {
  return leg.checks
    .filter(({ open }) => open)
    .map(({ id, ok, lacks }) => {
      const what = ok === false ? "not_ok" : lacks === null ? "unanswered" : `no_${lacks}`;
      return held(`checks:${id}`, { check: id, what });
    });
}

/** Weigh it or answer for the guess: every case on board whose mass is assumed. */
function unweighed(leg: Gates): Held[] {
  return leg.unweighed.map((code) => held("mass", { code, what: "assumed" }));
}

/** Read the plate or answer for it: a figure of ours allows nothing by itself. */
function unread(sheet: VehicleSheet, leg: Gates): Held[] {
  const { payload_g, axles, straps, ramp } = sheet;
  if (leg.on.length === 0) return [];
  const strapped = leg.rows.some(({ on, needed }) => on.length > 0 && needed > 0);
  const missing = {
    payload: payload_g === null && (axles?.gross_limit_g ?? null) === null,
    straps: strapped && (straps?.wll_g ?? null) === null,
    ramp: ramp !== null && ramp.rating_g === null,
    lift_gate: sheet.lift_gate?.rating_g === null,
    axles: (axles?.front_limit_g ?? null) === null || (axles?.rear_limit_g ?? null) === null,
  };
  return Object.entries(missing)
    .filter(([, open]) => open)
    .map(([what]) => held(`plate:${what}`, { what }));
}

function masses(sheet: VehicleSheet, leg: Gates): Held[] {
  const found: Held[] = [];
  const parts = leg.on.length;
  const over = (gate: string, what: string, value: number, limit: number | null) => {
    if (limit !== null && !within(value, limit, parts))
      found.push(held(gate, { what, value, limit }));
  };
  over("payload", "payload", leg.mass_g, sheet.payload_g);
  const { axles } = leg;
  if (axles === null || sheet.axles === null) return found;
  over("axles", "front", axles.front_g, sheet.axles.front_limit_g);
  over("axles", "rear", axles.rear_g, sheet.axles.rear_limit_g);
  over("axles", "gross", axles.gross_g, sheet.axles.gross_limit_g);
  const { share } = axles;
  if (share === null || leg.on.length === 0) return found;
  for (const [what, value] of [
    ["front_lifted", axles.least_front_g],
    ["rear_lifted", axles.least_rear_g],
  ] as const)
    if (value < 0) found.push(held("axles", { what, value, limit: 0 }));
  const [share_min, share_max] = [leastShare(sheet.axles), mostShare(sheet.axles)];
  if (share_min !== null && share < share_min - SHARE_BLUR)
    found.push(held("axles", { what: "share_min", value: share, limit: share_min }));
  const most = axles.most_share ?? share;
  if (share_max !== null && most > share_max + SHARE_BLUR)
    found.push(held("axles", { what: "share_max", value: most, limit: share_max }));
  return found;
}

function unsent(leg: Gates, devices: string[]): Held[] {
  return devices
    .filter((device) => !leg.unsent_known.includes(device))
    .map((device) => held("unsent", { device }));
}

/**
 * All reasons against releasing a vehicle now.
 *
 * `unsent` names phones that said by heartbeat that they hold scans not sent yet; gaps in a phone's
 * running numbers count without being told.
 */
export function releaseReasons(
  state: State,
  bundle: Bundle,
  { move, vehicle, unsent: told = [] }: { move: Move; vehicle: string; unsent?: string[] },
): Held[] {
  const leg = state.legs[move][vehicle];
  if (leg === undefined || !bundle.vehicles.some(({ id }) => id === vehicle))
    return [held("vehicle", { vehicle })];
  const known = new Set(leg.held.filter(({ gate }) => gate === "unsent").map((one) => one.device));
  const more = told.filter((device) => !known.has(device)).sort();
  const again = leg.released === null ? [] : [held("already_released", { vehicle })];
  return [...leg.held, ...unsent(leg, more), ...again];
}
