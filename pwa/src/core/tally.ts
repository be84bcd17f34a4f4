/** One leg: what is due, on, off, not on and stray, and how its rows stand. */
import type { Bundle, Move, RowSheet, VehicleSheet } from "./bundle";
import type { Due } from "./due";
import { isLoading, type LegFacts, type MoveFacts, type RowFacts } from "./facts";
import { record } from "./marks";
import type { Sheets } from "./sheets";
import type { Added, CaseMark, Conflict, Excuse, NotOn, RowState, Status, Stray } from "./state";
import { strapsNow, type Masses } from "./weight";

/** What the tally of one leg reads. */
export interface LegInput {
  bundle: Bundle;
  sheets: Sheets;
  move: Move;
  sheet: VehicleSheet;
  facts: MoveFacts;
  leg: LegFacts;
  due: Due;
  added: Record<string, Added>;
  masses: Masses;
}

export interface Tally {
  due: string[];
  on: string[];
  off: string[];
  done: number;
  marks: Record<string, CaseMark>;
  excused: Record<string, Excuse>;
  not_on: NotOn[];
  strays: Stray[];
  conflicts: Conflict[];
  rows: RowState[];
  row_of: Record<string, number | null>;
  place_of: Record<string, string | null>;
}

export function tally(input: LegInput): Tally {
  const { move, sheet, facts, leg } = input;
  const sort = inSequence(isLoading(move) ? sheet.load : sheet.unload);
  const due = sort(keysOf(input.due.due, sheet.id));
  const marks = isLoading(move) ? leg.marks : unloadMarks(input, due);
  const off = sort([...marks].filter(([, { did }]) => did === "off").map(([code]) => code));
  const on = sort(isLoading(move) ? standing(facts, sheet.id) : withoutOff(due, facts));
  const row_of = record<number | null>();
  for (const code of on) row_of[code] = rowOfCase(input, code);
  const here = byRow(due, (code) => input.sheets.plannedRow(sheet.id, code));
  const aboard = byRow(on, (code) => row_of[code] ?? null);
  const standsHere = new Set(on);
  const rows = sheet.rows.map((row) =>
    rowState(input, row, here.get(row.number) ?? [], aboard.get(row.number) ?? [], standsHere),
  );
  callFull(rows);
  const not_on = notOn(input, due, on, rows, sort);
  const done = new Set(isLoading(move) ? on : off);
  return {
    due,
    on,
    off,
    done: due.filter((code) => done.has(code)).length,
    marks: record(marks),
    excused: excusedOn(input),
    not_on,
    strays: strays(input, on, off, due),
    conflicts: conflicts(input),
    rows,
    row_of,
    place_of: placeOf(input, [...due, ...on]),
  };
}

/** Codes in the order of a sequence, those outside it last and by code. */
function inSequence(order: string[]): (codes: string[]) => string[] {
  const at = new Map(order.map((code, index) => [code, index]));
  const rank = (code: string) => at.get(code) ?? order.length;
  return (codes) => codes.sort((a, b) => rank(a) - rank(b) || (a < b ? -1 : a > b ? 1 : 0));
}

function keysOf(map: Map<string, string>, vehicle: string): string[] {
  return [...map].filter(([, held]) => held === vehicle).map(([code]) => code);
}

function standing(facts: MoveFacts, vehicle: string): string[] {
  return [...facts.stands].filter(([, mark]) => mark.vehicle === vehicle).map(([code]) => code);
}

function withoutOff(due: string[], facts: MoveFacts): string[] {
  return due.filter((code) => facts.latest.get(code)?.did !== "off");
}

/** Unloading: a case belongs to the leg it was due in, or else to the vehicle it came off. */
function unloadMarks(input: LegInput, due: string[]): Map<string, CaseMark> {
  const here = new Set(due);
  const { facts, sheet } = input;
  return new Map(
    [...facts.latest].filter(([code, { vehicle }]) => {
      const elsewhere = input.due.due.has(code) && !here.has(code);
      return here.has(code) || (!elsewhere && vehicle === sheet.id);
    }),
  );
}

function rowOfCase({ move, facts, sheets, sheet }: LegInput, code: string): number | null {
  if (isLoading(move)) return facts.stands.get(code)?.row ?? null;
  return sheets.plannedRow(sheet.id, code);
}

function placeOf({ sheets, sheet }: LegInput, codes: string[]): Record<string, string | null> {
  const found = record<string | null>();
  for (const code of codes) found[code] = sheets.planned(sheet.id, code)?.place.code ?? null;
  return found;
}

function excusedOn(input: LegInput): Record<string, Excuse> {
  const found = record<Excuse>();
  for (const code of keysOf(input.due.excused, input.sheet.id).sort()) {
    const held = input.facts.excuses.get(code);
    if (held !== undefined) found[code] = held;
  }
  return found;
}

function rowState(
  input: LegInput,
  { number, straps: planned, slack_um, void_um = 0 }: RowSheet,
  due: string[],
  on: string[],
  aboard: Set<string>,
): RowState {
  const { bundle, move } = input;
  const facts = input.leg.rows.get(number);
  const limit = bundle.rules.slack_limit_um;
  const straps = strapped(facts);
  const stands = on.reduce((sum, code) => sum + input.masses.worst_g(code), 0);
  const now = strapsNow(stands, input.sheet.straps?.wll_g ?? null);
  const needed = isLoading(move) ? Math.max(planned, now) : planned;
  const full = due.every((code) => aboard.has(code)) && due.length + on.length > 0;
  const held = straps.counted !== null && straps.counted >= needed;
  const name = held ? "strapped" : full ? "full" : "open";
  return {
    number,
    state: isLoading(move) ? name : on.length > 0 ? "open" : "empty",
    called_full: straps.counted !== null,
    needed,
    ...straps,
    needs_fill: (limit !== null && slack_um > limit) || void_um > 0,
    due,
    on,
    taken_by: facts?.taken_by ?? null,
    reopened: facts?.reopened ?? 0,
    photos: facts?.photos ?? [],
  };
}

function byRow(codes: string[], row: (code: string) => number | null): Map<number, string[]> {
  const rows = new Map<number, string[]>();
  for (const code of codes) {
    const number = row(code);
    if (number === null) continue;
    const held = rows.get(number);
    if (held === undefined) rows.set(number, [code]);
    else held.push(code);
  }
  return rows;
}

/** A phone corrects its own count; between phones the higher stays and is flagged. */
function strapped(facts: RowFacts | undefined) {
  const counts = [...(facts?.counts.values() ?? [])].sort((a, b) => (a.device < b.device ? -1 : 1));
  const numbers = counts.map(({ count }) => count);
  return {
    counts,
    counted: numbers.length > 0 ? Math.max(...numbers) : null,
    disagreement: new Set(numbers).size > 1,
    filled: counts.some(({ filled }) => filled),
  };
}

/** A row is called full when its straps, or those of a row nearer the door, have been counted. */
function callFull(rows: RowState[]): void {
  const last = Math.max(...rows.filter((row) => row.called_full).map((row) => row.number), -1);
  for (const row of rows) row.called_full = row.number <= last;
}

function notOn(
  input: LegInput,
  due: string[],
  on: string[],
  rows: RowState[],
  sort: (codes: string[]) => string[],
): NotOn[] {
  const { move, sheet, facts, sheets } = input;
  const aboard = new Set(on);
  const here = new Set(due);
  const still = due.filter((code) => aboard.has(code) !== isLoading(move));
  const full = new Set(rows.filter((row) => row.called_full).map((row) => row.number));
  const called = isLoading(move) && input.leg.released !== null;
  const excused = keysOf(input.due.excused, sheet.id);
  const accounted = excused.filter((code) => !aboard.has(code) && !here.has(code));
  return sort([...still, ...accounted]).map((code) => {
    const row = sheets.plannedRow(sheet.id, code);
    const held = here.has(code) ? undefined : facts.excuses.get(code);
    const missing = called || (isLoading(move) && row !== null && full.has(row));
    const status: Status = held?.why ?? (missing ? "missing" : "not_yet");
    const stands_on = isLoading(move) ? (facts.stands.get(code)?.vehicle ?? null) : null;
    return {
      code,
      row,
      status,
      accounted: held !== undefined,
      for_code: held?.for_code ?? null,
      to_vehicle: held?.to_vehicle ?? null,
      stands_on,
    };
  });
}

function strays(input: LegInput, on: string[], off: string[], due: string[]): Stray[] {
  const { move, bundle, facts, added } = input;
  const here = new Set(due);
  const found = isLoading(move) ? on : off;
  return found
    .filter((code) => !here.has(code))
    .map((code) => {
      const due_on = input.due.due.get(code) ?? null;
      const why = facts.excuses.get(code)?.why;
      const known = Object.hasOwn(bundle.cases, code) || Object.hasOwn(added, code);
      const here_not = known ? "not_on_show" : "unknown";
      const excused = why === "swapped" ? "swapped" : why !== undefined ? "excused" : here_not;
      return { code, what: due_on !== null ? "other_vehicle" : excused, due_on };
    });
}

/** Recorded here, later on another vehicle, never taken off here, and not excused by the chief. */
function conflicts({ move, leg, facts, sheet }: LegInput): Conflict[] {
  if (!isLoading(move)) return [];
  const found: Conflict[] = [];
  for (const code of [...leg.marks.keys()].sort()) {
    const stands_on = facts.stands.get(code)?.vehicle ?? facts.latest.get(code)?.vehicle ?? null;
    if (leg.marks.get(code)?.did !== "on" || stands_on === null || stands_on === sheet.id) continue;
    if (facts.excuses.get(code)?.why === "other_vehicle") continue;
    found.push({ code, vehicle: sheet.id, stands_on });
  }
  return found;
}
