/** Answers to the checks of one leg: the chief's beats a loader's, then the latest counts. */
import type { Bundle, Check, Move } from "./bundle";
import type { RowcallEvent } from "./events";
import { mark } from "./marks";
import type { CheckState, StopState } from "./state";

interface Answer {
  ok: boolean;
  note: string | null;
  photo: string | null;
  event: RowcallEvent;
  /** Latest answer of each phone. */
  said: Map<string, boolean>;
}

/** Latest answer by key; events come in the order of facts. */
export type Answers = Map<string, Answer>;

function answerKey(check: Check, vehicle: string | null): string {
  return JSON.stringify([check.move, check.scope === "show" ? null : vehicle, check.id]);
}

export function gatherAnswers(bundle: Bundle, events: RowcallEvent[]): Answers {
  const answers: Answers = new Map();
  const checks = new Map(bundle.checks.map((check) => [`${check.move} ${check.id}`, check]));
  for (const event of events) {
    const { body } = event;
    if (body.kind !== "answered") continue;
    const check = checks.get(`${event.move} ${body.check}`);
    if (check === undefined) continue;
    const note = body.note ?? null;
    keep(answers, answerKey(check, event.vehicle), event, body.ok, note, body.photo ?? null);
  }
  return answers;
}

function keep(
  answers: Answers,
  key: string,
  event: RowcallEvent,
  ok: boolean,
  note: string | null,
  photo: string | null = null,
): void {
  const held = answers.get(key);
  const said = held?.said ?? new Map<string, boolean>();
  said.set(event.device, ok);
  if (held !== undefined && held.event.by.role !== "loader" && event.by.role === "loader") return;
  answers.set(key, { ok, note, photo, event, said });
}

export function checklist(
  bundle: Bundle,
  answers: Answers,
  move: Move,
  vehicle: string,
): CheckState[] {
  return bundle.checks
    .filter((check) => check.move === move)
    .map((check) => {
      const answer = answers.get(answerKey(check, vehicle));
      return {
        id: check.id,
        gate: check.gate,
        open: answer?.ok !== true || lacking(check, answer) !== null,
        ok: answer?.ok ?? null,
        note: answer?.note ?? null,
        photo: answer?.photo ?? null,
        disagreement: new Set(answer?.said.values()).size > 1,
        mark: answer === undefined ? null : mark(answer.event),
        lacks: answer?.ok === true ? lacking(check, answer) : null,
      };
    });
}

interface Beside {
  note: string | null;
  photo: string | null;
}

/** What a yes needs beside it: a number or name, a photo or why there is none. */
export function lacking(check: Check, { note, photo }: Beside): "note" | "photo" | null {
  const noted = (note ?? "").trim() !== "";
  if (check.note && !noted) return "note";
  return check.photo && !photo && !noted ? "photo" : null;
}

/** The open checks of a move that are asked before its first case. */
export function beforeOpen(bundle: Bundle, checks: CheckState[], move: Move): string[] {
  const first = bundle.checks.filter((one) => one.move === move && one.moment === "before");
  const asked = new Set(first.map(({ id }) => id));
  return checks.filter(({ id, open }) => open && asked.has(id)).map(({ id }) => id);
}

interface Asked {
  check: Check;
  known: CheckState;
}

/** The card that is up of those that come first: the one wanted while nobody has answered it, then
 * the first that nobody has, then those that were answered no. */
export function cardUp<T extends Asked>(asked: readonly T[], wanted: string): T | null {
  const open = asked.filter(({ known }) => known.open);
  const fresh = open.filter(({ known }) => known.mark === null);
  return fresh.find(({ check }) => check.id === wanted) ?? fresh[0] ?? open[0] ?? null;
}

/** The night's walk, stop by stop, by the same rule. */
export function walk(bundle: Bundle, events: RowcallEvent[]): StopState[] {
  const answers: Answers = new Map();
  for (const event of events) {
    const { body } = event;
    if (body.kind === "walked") keep(answers, body.stop, event, body.ok, body.note ?? null);
  }
  return bundle.walk.map(({ id }) => {
    const answer = answers.get(id);
    return {
      id,
      done: answer?.ok === true,
      ok: answer?.ok ?? null,
      note: answer?.note ?? null,
      mark: answer === undefined ? null : mark(answer.event),
    };
  });
}
