/** What the phone says to a scan (DESIGN 5.2), from the bundle and the night so far. */
import type { Bundle, Move, VehicleSheet } from "./bundle";
import type { Accepted, Refused } from "./case-code";
import { isLoading } from "./facts";
import type { CaseMark, Leg, State } from "./state";

export type AnswerKind =
  | "right" // due here, and the next one
  | "not_next" // due here, others come before it; it may go all the same
  | "already" // done already: by whom and when says `mark`
  | "other_vehicle" // due on `due_on`: stop
  | "stray" // in the fleet, but due nowhere in this move
  | "unknown" // no case that anybody knows; `refused` says how far the reading went
  | "damaged" // due here, but marked as damaged: ask the chief
  | "swapped"; // the chief sent `instead` in its place

export interface Answer {
  kind: AnswerKind;
  /** The case, or what was read where it is none. */
  code: string;
  move: Move;
  vehicle: string;
  /** Where it stands by plan, or where it stood when it came on; null: in no row. */
  row: number | null;
  /** The case that is next before this scan counts. */
  next: string | null;
  mark: CaseMark | null;
  due_on: string | null;
  instead: string | null;
  /** A strapped row that this opens again. */
  reopens: number | null;
  refused: Refused | null;
}

export interface Question {
  move: Move;
  vehicle: string;
  code: Accepted | Refused;
}

export function answerScan(bundle: Bundle, state: State, question: Question): Answer {
  const { move, vehicle, code } = question;
  const leg = state.legs[move][vehicle];
  const sheet = bundle.vehicles.find(({ id }) => id === vehicle);
  const refused = code.ok ? null : code;
  const name = code.ok ? code.code : (code.candidates[0] ?? code.text);
  const answer: Answer = {
    kind: "unknown",
    code: name,
    move,
    vehicle,
    row: leg?.row_of[name] ?? plannedRow(sheet, name),
    next: leg && sheet ? nextOf(sheet, leg) : null,
    mark: leg?.marks[name] ?? null,
    due_on: dueElsewhere(state, question, name),
    instead: leg?.excused[name]?.for_code ?? null,
    reopens: null,
    refused,
  };
  if (refused || !leg) return answer;
  const kind = kindOf(bundle, state, leg, answer);
  const opens = (kind === "right" || kind === "not_next") && strapped(leg, answer.row);
  return { ...answer, kind, reopens: opens ? answer.row : null };
}

function kindOf(bundle: Bundle, state: State, leg: Leg, answer: Answer): AnswerKind {
  const { code, move } = answer;
  const excuse = leg.excused[code];
  if (isDone(leg, code)) return "already";
  if (excuse?.why === "swapped") return "swapped";
  const due = leg.due.includes(code);
  // on board although not due: taking it off is always right
  const aboard = !isLoading(move) && leg.on.includes(code);
  // what came after all ends the excuse that it is left, or never came
  const back = excuse?.why === "left_on_purpose" || excuse?.why === "never_came";
  if (!due && !aboard && !back) return answer.due_on === null ? "stray" : "other_vehicle";
  if (isLoading(move) && isDamaged(bundle, state, code)) return "damaged";
  if (move === "put_away" || answer.next === null || answer.next === code) return "right";
  return "not_next";
}

function isDone(leg: Leg, code: string): boolean {
  return isLoading(leg.move) ? leg.on.includes(code) : leg.marks[code]?.did === "off";
}

function isDamaged(bundle: Bundle, state: State, code: string): boolean {
  return code in state.damaged || (bundle.cases[code]?.state ?? "good") !== "good";
}

function dueElsewhere(state: State, { move, vehicle }: Question, code: string): string | null {
  const to = state.legs[move][vehicle]?.excused[code]?.to_vehicle;
  if (to) return to;
  const others = Object.values(state.legs[move]).filter((leg) => leg.vehicle !== vehicle);
  return others.find((leg) => leg.due.includes(code))?.vehicle ?? null;
}

/** The first case of the sequence that is due and not done. */
function nextOf(sheet: VehicleSheet, leg: Leg): string | null {
  const open = new Set(leg.not_on.filter((one) => !one.accounted).map((one) => one.code));
  const order = isLoading(leg.move) ? sheet.load : sheet.unload;
  const planned = order.find((code) => open.has(code));
  return planned ?? [...open].sort()[0] ?? null;
}

function plannedRow(sheet: VehicleSheet | undefined, code: string): number | null {
  const row = sheet?.rows.find(({ places }) => places.some((place) => place.code === code));
  return row?.number ?? null;
}

function strapped(leg: Leg, row: number | null): boolean {
  return leg.rows.some(({ number, state }) => number === row && state === "strapped");
}
