/** What comes next in one leg, in order: cases, and the straps of a row that is ready for them. */
import type { Bundle, Move, PlaceSheet, RowSheet } from "./bundle";
import { isLoading } from "./facts";
import type { Leg, RowState, State } from "./state";

/**
 * One step. `case`: put `code` on (or take it off); `place_code` names the planned place it takes,
 * `ready` says that what carries it stands (unloading: that nothing stands on it), `late` that its
 * row was called full. `straps`: count the straps of `row` now, and fill its slack if `fill`.
 */
export interface Step {
  kind: "case" | "straps";
  did: "on" | "off";
  code: string | null;
  place_code: string | null;
  row: number | null;
  ready: boolean;
  late: boolean;
  needed: number;
  fill: boolean;
  taken_by: string | null;
}

export interface Where {
  move: Move;
  vehicle: string;
  /** This phone: a row it took comes first. */
  device?: string;
}

/** A scan asks for the same steps that are on the glass already: they are kept with their state. */
const kept = new WeakMap<State, Map<string, Step[]>>();

export function nextUp(state: State, bundle: Bundle, where: Where): Step[] {
  const known = kept.get(state) ?? new Map<string, Step[]>();
  kept.set(state, known);
  const name = JSON.stringify([where.move, where.vehicle, where.device, bundle.revision]);
  const steps = known.get(name) ?? stepsOf(state, bundle, where);
  known.set(name, steps);
  return steps;
}

function stepsOf(state: State, bundle: Bundle, where: Where): Step[] {
  const leg = state.legs[where.move][where.vehicle];
  const sheet = bundle.vehicles.find(({ id }) => id === where.vehicle);
  if (leg === undefined || sheet === undefined) return [];
  const places = placesOf(sheet.rows);
  const filled = filledPlaces(leg);
  if (!isLoading(where.move)) return leg.on.map((code) => offStep(leg, places, code));
  const order = new Map(sheet.load.map((code, index) => [code, index]));
  const rank = (code: string) => order.get(leg.place_of[code] ?? "") ?? order.size;
  const steps: Step[] = [];
  const late: Step[] = [];
  for (const row of ownFirst(leg.rows, where.device)) {
    const open = row.due.filter((code) => !Object.hasOwn(leg.row_of, code));
    open.sort((a, b) => rank(a) - rank(b) || (a < b ? -1 : 1));
    const cases = open.map((code) => onStep(leg, places, code, row, filled));
    (row.called_full ? late : steps).push(...cases);
    if (wantsStraps(row, open.length)) steps.push(strapStep(row));
  }
  const rowless = leg.due.filter(
    (code) => leg.place_of[code] == null && !Object.hasOwn(leg.row_of, code),
  );
  return [...steps, ...late, ...rowless.map((code) => onStep(leg, places, code, null, filled))];
}

export type Places = Map<string, { row: number; place: PlaceSheet }>;

export function placesOf(rows: RowSheet[]): Places {
  return new Map(
    rows.flatMap((row) =>
      row.places.map((place) => [place.code, { row: row.number, place }] as const),
    ),
  );
}

/** Rows that this phone works come first, as long as they are not strapped. */
function ownFirst(rows: RowState[], device: string | undefined): RowState[] {
  const own = (row: RowState) => row.taken_by?.device === device && row.state !== "strapped";
  if (device === undefined) return rows;
  return [...rows.filter(own), ...rows.filter((row) => !own(row))];
}

export function wantsStraps(row: RowState, open: number): boolean {
  if (row.on.length === 0 && open === 0) return false;
  return row.needed > (row.counted ?? 0) || (row.needs_fill && !row.filled);
}

function strapStep(row: RowState): Step {
  return {
    kind: "straps",
    did: "on",
    code: null,
    place_code: null,
    row: row.number,
    ready: row.due.every((code) => row.on.includes(code)),
    late: false,
    needed: row.needed,
    fill: row.needs_fill && !row.filled,
    taken_by: row.taken_by?.device ?? null,
  };
}

/** Whether all that carries a case stands already. */
export function carried(
  leg: Leg,
  places: Places,
  code: string,
  filled: ReadonlySet<string | null | undefined> = filledPlaces(leg),
): boolean {
  const place = places.get(leg.place_of[code] ?? "")?.place;
  return place === undefined || place.on.every((below) => filled.has(below));
}

/** Planned places in which something stands. */
export const filledPlaces = (leg: Leg): ReadonlySet<string | null | undefined> =>
  new Set(Object.keys(leg.row_of).map((one) => leg.place_of[one]));

/** Whether nothing on board stands on a case any more. */
export function clear(leg: Leg, places: Places, code: string): boolean {
  const own = leg.place_of[code];
  if (own == null) return true;
  return leg.on.every((one) => !places.get(leg.place_of[one] ?? "")?.place.on.includes(own));
}

function onStep(
  leg: Leg,
  places: Places,
  code: string,
  row: RowState | null,
  filled: ReadonlySet<string | null | undefined>,
): Step {
  return {
    kind: "case",
    did: "on",
    code,
    place_code: leg.place_of[code] ?? null,
    row: row?.number ?? null,
    ready: carried(leg, places, code, filled),
    late: row?.called_full ?? false,
    needed: 0,
    fill: false,
    taken_by: row?.taken_by?.device ?? null,
  };
}

function offStep(leg: Leg, places: Places, code: string): Step {
  return {
    kind: "case",
    did: "off",
    code,
    place_code: leg.place_of[code] ?? null,
    row: leg.row_of[code] ?? null,
    ready: clear(leg, places, code),
    late: false,
    needed: 0,
    fill: false,
    taken_by: null,
  };
}
