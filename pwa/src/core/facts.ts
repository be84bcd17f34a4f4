/** The events replayed in the order of facts: where each case stands, which straps still count. */
import { MOVES, type Bundle, type Move } from "./bundle";
import type { RowcallEvent } from "./events";
import { caseMark, excuse, mark } from "./marks";
import type { Sheets } from "./sheets";
import type { CaseMark, Excuse, Mark, Override, RampState, Signed, StrapCount } from "./state";

export interface RowFacts {
  /** Latest count of each device since the row last changed. */
  counts: Map<string, StrapCount>;
  taken_by: Mark | null;
  reopened: number;
  photos: string[];
}

/** What was said about one vehicle in one move. */
export interface LegFacts {
  marks: Map<string, CaseMark>;
  rows: Map<number, RowFacts>;
  hands: number | null;
  ramp: RampState | null;
  overridden: Map<string, Override>;
  unsent_known: Set<string>;
  released: Signed | null;
  recalled: Mark | null;
}

export interface MoveFacts {
  /** Vehicles with at least one case recorded on. */
  tracked: Set<string>;
  /** Loading moves: the vehicle on which each case stands. */
  stands: Map<string, CaseMark>;
  /** Latest change of each case, whichever the vehicle. */
  latest: Map<string, CaseMark>;
  excuses: Map<string, Excuse>;
  legs: Map<string, LegFacts>;
}

export type Facts = Record<Move, MoveFacts>;

export function isLoading(move: Move): boolean {
  return move === "shop_load" || move === "load_out";
}

/** Replay events that are already unique, standing and in order. */
export function gather(bundle: Bundle, sheets: Sheets, events: RowcallEvent[]): Facts {
  const facts = {} as Facts;
  for (const move of MOVES) facts[move] = emptyMove(bundle);
  for (const event of events) {
    const move = facts[event.move];
    caseFact(move, sheets, event);
    excuseFact(move, event);
    const legs = event.vehicle === null ? [...move.legs.values()] : [legOf(move, event.vehicle)];
    for (const leg of legs) legFact(leg, event);
  }
  return facts;
}

function emptyMove(bundle: Bundle): MoveFacts {
  const move: MoveFacts = {
    tracked: new Set(),
    stands: new Map(),
    latest: new Map(),
    excuses: new Map(),
    legs: new Map(),
  };
  for (const { id } of bundle.vehicles) legOf(move, id);
  return move;
}

function legOf(move: MoveFacts, vehicle: string): LegFacts {
  let leg = move.legs.get(vehicle);
  if (leg === undefined) {
    leg = {
      marks: new Map(),
      rows: new Map(),
      hands: null,
      ramp: null,
      overridden: new Map(),
      unsent_known: new Set(),
      released: null,
      recalled: null,
    };
    move.legs.set(vehicle, leg);
  }
  return leg;
}

export function rowOf(leg: LegFacts, row: number): RowFacts {
  let facts = leg.rows.get(row);
  if (facts === undefined) {
    facts = { counts: new Map(), taken_by: null, reopened: 0, photos: [] };
    leg.rows.set(row, facts);
  }
  return facts;
}

/** A row's straps count only while the row is as it was when they were counted. */
function reopen(leg: LegFacts, row: number | null): void {
  if (row === null) return;
  const facts = rowOf(leg, row);
  if (facts.counts.size > 0) facts.reopened += 1;
  facts.counts.clear();
}

function caseFact(move: MoveFacts, sheets: Sheets, event: RowcallEvent): void {
  const { body } = event;
  if (body.kind !== "on" && body.kind !== "off") return;
  if (!isLoading(event.move)) return unloadFact(move, event);
  if (event.vehicle === null) return;
  if (body.kind === "on") putOn(move, sheets, event, event.vehicle, body);
  else takeOff(move, event, event.vehicle, body);
}

type On = { kind: "on"; code: string; row: number | null };
type Off = { kind: "off"; code: string };

function putOn(
  move: MoveFacts,
  sheets: Sheets,
  event: RowcallEvent,
  vehicle: string,
  body: On,
): void {
  move.tracked.add(vehicle);
  const row = sheets.standingRow(vehicle, body.code, body.row);
  const held = move.stands.get(body.code);
  // a second scan of what already stands there changes nothing: two loaders may scan one row
  if (held !== undefined && held.vehicle === vehicle && held.row === row) return;
  if (held !== undefined && held.vehicle !== null) reopen(legOf(move, held.vehicle), held.row);
  const leg = legOf(move, vehicle);
  reopen(leg, row);
  const now = caseMark(event, row);
  move.stands.set(body.code, now);
  move.latest.set(body.code, now);
  leg.marks.set(body.code, now);
}

function takeOff(move: MoveFacts, event: RowcallEvent, vehicle: string, body: Off): void {
  const leg = legOf(move, vehicle);
  if (leg.marks.get(body.code)?.did === "off") return;
  const now = caseMark(event, null);
  leg.marks.set(body.code, now);
  const held = move.stands.get(body.code);
  if (held !== undefined && held.vehicle !== vehicle) return;
  move.latest.set(body.code, now);
  if (held === undefined) return;
  reopen(leg, held.row);
  move.stands.delete(body.code);
}

function unloadFact(move: MoveFacts, event: RowcallEvent): void {
  const { body } = event;
  if (body.kind !== "on" && body.kind !== "off") return;
  if (move.latest.get(body.code)?.did === body.kind) return;
  move.latest.set(body.code, caseMark(event, null));
}

/** Coming on board later (off, in an unloading move) ends an excuse. */
function excuseFact(move: MoveFacts, event: RowcallEvent): void {
  const { body } = event;
  if (body.kind === "excused") move.excuses.set(body.code, excuse(event, body));
  else if (body.kind === "unexcused") move.excuses.delete(body.code);
  else if (body.kind === (isLoading(event.move) ? "on" : "off")) {
    const held = move.excuses.get(body.code);
    const there = held?.why === "other_vehicle" && held.to_vehicle === event.vehicle;
    if (held !== undefined && !there) move.excuses.delete(body.code);
  }
}

function legFact(leg: LegFacts, event: RowcallEvent): void {
  const { body } = event;
  switch (body.kind) {
    case "strapped": {
      const count = { ...mark(event), count: body.count, filled: body.filled };
      rowOf(leg, body.row).counts.set(event.device, count);
      break;
    }
    case "opened":
      reopen(leg, body.row);
      break;
    case "took":
      rowOf(leg, body.row).taken_by = mark(event);
      break;
    case "row_photo":
      rowOf(leg, body.row).photos.push(body.photo);
      break;
    case "hands":
      leg.hands = body.count;
      break;
    case "ramp":
      leg.ramp = {
        rise_um: body.rise_um,
        length_um: body.length_um,
        floor: body.floor,
        width_um: body.width_um ?? null,
      };
      break;
    case "overridden":
      leg.overridden.set(body.gate, { ...mark(event), gate: body.gate, why: body.why });
      break;
    case "unsent_known":
      for (const device of body.devices) leg.unsent_known.add(device);
      break;
    case "released":
      leg.recalled = null;
      leg.released = signed(event, body);
      break;
    case "recalled":
      leg.recalled = mark(event);
      leg.released = null;
      break;
  }
}

export function signed(
  event: RowcallEvent,
  body: { digest: string; signers: { role: string; name: string }[] },
): Signed {
  const signers = body.signers.map(({ role, name }) => ({ role, name }));
  return { ...mark(event), digest: body.digest, signers };
}
