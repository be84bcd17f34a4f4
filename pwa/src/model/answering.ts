/** The answer to a scan as screens show it: the core's judgement, and what reading the code gave. */
import { answerScan, type Answer as Judged } from "../core/answer";
import type { Bundle, Move } from "../core/bundle";
import type { Accepted, Refused } from "../core/case-code";
import { isLoading } from "../core/facts";
import { nextUp } from "../core/next-up";
import type { CaseMark, State } from "../core/state";
import type { AnswerKind } from "../ui/feedback";

export interface Answer {
  kind: AnswerKind;
  /** The case, or what was read where it is none. */
  code: string;
  move: Move;
  vehicle: string;
  /** Where it stands by plan, or where it stood when it came on; null: in no row. */
  row: number | null;
  home: string | null;
  /** The case that is next before this scan counts. */
  next: string | null;
  /** Who did it already, where `kind` is `already`. */
  mark: CaseMark | null;
  /** The vehicle on which it is due instead of this one. */
  due_on: string | null;
  /** The vehicle on which it is recorded, and never taken off. */
  stands_on: string | null;
  /** The spare that the chief sent in its place. */
  instead: string | null;
  /** A strapped row that this opens again. */
  reopens: number | null;
  damaged: boolean;
  /** Cases that must go before this one, where `kind` is `blocked`. */
  first: string[];
  /** Rows nearer the door in which something stands, and rows that this case would bury open. */
  in_front: number[];
  leaves_open: number[];
  /** Checks to be answered before the first case, where `kind` is `blocked` by them. */
  checks: string[];
  /** How far the reading went, where the text is no known case. */
  refused: Refused | null;
}

export interface Question {
  move: Move;
  vehicle: string;
  device: string;
}

export function answerTo(
  bundle: Bundle,
  state: State,
  { move, vehicle, device }: Question,
  read: Accepted | Refused,
): Answer {
  const code = read.ok ? read.code : (read.candidates[0] ?? read.text);
  const scan = { code, move, vehicle, device };
  const judged = answerScan(state, bundle, scan);
  const leg = state.legs[move][vehicle];
  const step = nextUp(state, bundle, scan).find((one) => one.kind === "case");
  const kind = read.ok ? kindOf(judged, move) : "unknown";
  const row = leg?.rows.find(({ number }) => number === judged.row);
  const comes = kind === "right" || kind === "not_next";
  return {
    kind,
    code,
    move,
    vehicle,
    row: judged.row,
    home: judged.home,
    next: step?.code ?? null,
    mark: leg?.marks[code] ?? null,
    due_on: judged.vehicle,
    stands_on: judged.stands_on,
    instead: judged.for_code,
    reopens: comes && row?.counted != null ? row.number : null,
    damaged: judged.damaged,
    first: judged.first,
    in_front: judged.in_front,
    leaves_open: judged.leaves_open,
    checks: judged.checks,
    refused: read.ok ? null : read,
  };
}

const KINDS: Record<Judged["kind"], AnswerKind> = {
  right_next: "right",
  right: "not_next",
  checks_first: "blocked",
  already_on: "already",
  already_off: "already",
  other_vehicle: "other_vehicle",
  stray: "stray",
  unknown: "unknown",
  damaged: "damaged",
  swapped: "swapped",
  excused: "stray",
};

function kindOf({ kind, why, first, in_front }: Judged, move: Move): AnswerKind {
  // nothing is green that cannot stand now, or that must pass what stands already
  if (kind === "right" || kind === "right_next") {
    if (first.length > 0) return "blocked";
    if (in_front.length > 0) return "not_next";
  }
  if (kind !== "excused") return KINDS[kind];
  if (why === "other_vehicle") return "other_vehicle";
  // what was left on purpose, or never came, and now comes after all: that ends the excuse
  return isLoading(move) ? "not_next" : "stray";
}
