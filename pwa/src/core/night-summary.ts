/**
 * A night at a glance: every vehicle of one move, for screens that many people look at.
 *
 * From the same fold as the phones, so that the office and the wall never say other than they do.
 */
import { MOVES, type Bundle, type Move, type VehicleSheet } from "./bundle";
import { isLoading } from "./facts";
import { milliseconds } from "./marks";
import { closing, type Close } from "./pace";
import type { Leg, RowState, Signed, State } from "./state";

/** A phone as the server last heard it. */
export interface Phone {
  device: string;
  name: string;
  role: string;
  unsent: number;
  heard_at: number;
  out: boolean;
}

export interface RowSummary {
  number: number;
  /** Cases that stand, of those that are due. */
  on: number;
  due: number;
  /** 0 to 1: how far the row is filled. */
  filled: number;
  state: RowState["state"];
  calledFull: boolean;
  straps: { needed: number; counted: number | null };
  /** Who works this row; null: nobody said so. */
  holder: string | null;
}

export interface VehicleSummary {
  id: string;
  name: string;
  mark: number;
  sheet: VehicleSheet;
  leg: Leg;
  done: number;
  due: number;
  rows: RowSummary[];
  missing: string[];
  notYet: string[];
  strays: string[];
  checksOpen: string[];
  /** Grams on board as loaded, at worst and at least; and the limit, null where none is stated. */
  mass: { most: number; least: number; limit: number | null };
  axles: { name: "front" | "rear" | "gross"; value: number; limit: number | null }[];
  close: Close | null;
  released: Signed | null;
  /** How many reasons hold it. */
  held: number;
  lastAt: number | null;
}

export interface NightSummary {
  move: Move;
  vehicles: VehicleSummary[];
  done: number;
  due: number;
  missing: number;
  /** The last vehicle's expected time, where every open one has some. */
  close: Close | null;
  unsent: { phones: Phone[]; events: number };
  lastAt: number | null;
}

/** The move that is worked: that of the latest case; before the first one, the first move. */
export function currentMove(state: State): Move {
  let latest: { move: Move; at: number } = { move: "shop_load", at: -1 };
  for (const move of MOVES)
    for (const leg of Object.values(state.legs[move]))
      if (leg.last_at !== null && leg.last_at > latest.at) latest = { move, at: leg.last_at };
  return latest.move;
}

export function summaryOf(
  bundle: Bundle,
  state: State,
  move: Move,
  now: number,
  phones: readonly Phone[] = [],
): NightSummary {
  const vehicles = bundle.vehicles.flatMap((sheet) => {
    const leg = state.legs[move][sheet.id];
    return leg ? [vehicleOf(sheet, leg, now)] : [];
  });
  const open = vehicles.filter((each) => each.done < each.due);
  const closes = open.flatMap((each) => each.close ?? []);
  const last = (pick: (close: Close) => number) => Math.max(...closes.map(pick));
  const close =
    open.length > 0 && closes.length === open.length
      ? {
          pace: closes.reduce((sum, each) => sum + each.pace, 0),
          at: last((each) => each.at),
          from: last((each) => each.from),
          to: last((each) => each.to),
        }
      : null;
  const holding = phones.filter((phone) => phone.unsent > 0 && !phone.out);
  const moments = vehicles.flatMap(({ lastAt }) => lastAt ?? []);
  return {
    move,
    vehicles,
    done: sum(vehicles.map((each) => each.done)),
    due: sum(vehicles.map((each) => each.due)),
    missing: sum(vehicles.map((each) => each.missing.length)),
    close,
    unsent: { phones: holding, events: sum(holding.map((phone) => phone.unsent)) },
    lastAt: moments.length > 0 ? Math.max(...moments) : null,
  };
}

const sum = (values: readonly number[]): number => values.reduce((one, other) => one + other, 0);

function vehicleOf(sheet: VehicleSheet, leg: Leg, now: number): VehicleSummary {
  const codes = (status: string) =>
    leg.not_on.filter((each) => each.status === status).map((each) => each.code);
  const did = isLoading(leg.move) ? "on" : "off";
  const times = Object.values(leg.marks).flatMap((mark) =>
    mark.did === did ? [milliseconds(mark.hlc)] : [],
  );
  const { axles } = leg;
  return {
    id: sheet.id,
    name: sheet.name || sheet.id,
    mark: sheet.mark,
    sheet,
    leg,
    done: leg.done,
    due: leg.due.length,
    rows: leg.rows.filter((row) => row.due.length + row.on.length > 0).map(rowOf),
    missing: codes("missing"),
    notYet: codes("not_yet"),
    strays: leg.strays.map((each) => each.code),
    checksOpen: leg.checks.filter((each) => each.open).map((each) => each.id),
    mass: { most: leg.mass_g, least: leg.least_mass_g, limit: sheet.payload_g },
    axles:
      axles && sheet.axles
        ? [
            { name: "front", value: axles.front_g, limit: sheet.axles.front_limit_g },
            { name: "rear", value: axles.rear_g, limit: sheet.axles.rear_limit_g },
            { name: "gross", value: axles.gross_g, limit: sheet.axles.gross_limit_g },
          ]
        : [],
    close: closing(times, leg.due.length - leg.done, now),
    released: leg.released,
    held: leg.held.length,
    lastAt: leg.last_at,
  };
}

function rowOf(row: RowState): RowSummary {
  const all = new Set([...row.due, ...row.on]).size;
  return {
    number: row.number,
    on: row.on.length,
    due: row.due.length,
    filled: all > 0 ? row.on.length / all : 0,
    state: row.state,
    calledFull: row.called_full,
    straps: { needed: row.needed, counted: row.counted },
    holder: row.taken_by?.by ?? null,
  };
}
