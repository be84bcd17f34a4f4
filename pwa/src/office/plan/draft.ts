/** A plan being changed by hand: drawn at once, judged on the server, and every step undone. */
import { computed, signal } from "@preact/signals";
import type { PlaceSheet, RowSheet, Stance, VehicleSheet } from "../../core/bundle";
import type { PlanDocument } from "../shared/api-types";
import { call, Refused } from "../shared/api";
import { editedHere } from "./optimistic-edit";
import { byCode, byId, tried } from "../shared/state";

export interface Step {
  do: "move" | "row" | "turn" | "out";
  code?: string;
  vehicle?: string;
  row?: number;
  at?: number;
  on?: string[];
  fresh?: boolean;
  to_vehicle?: string;
  stance?: Stance;
  turned?: boolean;
}

export interface Draft {
  id: number;
  plan: PlanDocument;
  faults: string[];
  sheets: VehicleSheet[];
  /** What was done to get here. */
  word: string;
  /** Drawn at once here; the judge has not answered yet. */
  pending?: boolean;
}

export type Chosen = { code: string } | { vehicle: string; row: number } | null;
type Answer = Pick<Draft, "plan" | "faults" | "sheets"> & { latest: number };

const drafts = signal<readonly Draft[]>([]);
const at = signal(0);
export const chosen = signal<Chosen>(null);
/** How long the last step took until it was drawn, and until it was judged; ms. */
export const took = signal({ drawn: 0, judged: 0 });
let base = { show: "", revision: 0, latest: 0 };
let count = 0;
/** Plans as the server has them, by the id of their draft; a step is asked on its parent's. */
const known = new Map<number, PlanDocument>();
let line: Promise<unknown> = Promise.resolve();

export const draft = computed<Draft | null>(() => drafts.value[at.value] ?? null);
export const first = computed<Draft | null>(() => drafts.value[0] ?? null);
export const before = computed<Draft | null>(() => drafts.value[at.value - 1] ?? null);
export const changed = computed(() => at.value > 0);
export const canRedo = computed(() => at.value < drafts.value.length - 1);

export async function begin(show: string, revision: number): Promise<void> {
  base = { show, revision, latest: 0 };
  drafts.value = [];
  at.value = 0;
  chosen.value = null;
  known.clear();
  pins.value = new Set();
  const got = await ask(null, []);
  if (!got) return;
  base.latest = got.latest;
  drafts.value = [accepted(got, `revision ${revision}`)];
}

function ask(from: PlanDocument | null, steps: readonly Step[]): Promise<Answer | null> {
  const body = { revision: base.revision, draft: from, steps };
  return tried(() => call<Answer>("POST", `/shows/${base.show}/edit`, body));
}

function accepted(got: Answer, word: string, id = (count += 1)): Draft {
  known.set(id, got.plan);
  return { ...got, id, word };
}

/**
 * Do a step on the draft as it stands. What can be drawn here is drawn at once and judged behind it;
 * steps are asked of the server one after the other, each on the plan that the one before left.
 */
export async function act(step: Step, word: string): Promise<boolean> {
  const now = draft.value;
  if (!now) return false;
  const began = performance.now();
  const here = drawnHere(now, step, word);
  if (here) {
    put(here);
    afterPaint(() => (took.value = { ...took.value, drawn: since(began) }));
  }
  const judged = inLine(() => settle(now.id, step, word, here));
  if (here) {
    void judged.then(() => (took.value = { ...took.value, judged: since(began) }));
    return true;
  }
  const done = await judged;
  took.value = { drawn: since(began), judged: since(began) };
  return done;
}

const since = (began: number): number => Math.max(1, Math.round(performance.now() - began));

function afterPaint(work: () => void): void {
  requestAnimationFrame(() => setTimeout(work));
}

function inLine<T>(work: () => Promise<T>): Promise<T> {
  const done = line.then(work);
  line = done.catch(() => null);
  return done;
}

function put(next: Draft): void {
  drafts.value = [...drafts.value.slice(0, at.value + 1), next];
  at.value = drafts.value.length - 1;
}

function drawnHere(now: Draft, step: Step, word: string): Draft | null {
  const done = editedHere(now.sheets, step, {
    case: (code) => byCode.value.get(code),
    narrow: (vehicle) => byId.value.get(vehicle)?.narrow ?? [],
  });
  if (!done) return null;
  const out = done.out.map((code) => ({ code, reason: "taken out of the plan by hand" }));
  const left_out = [...now.plan.left_out.filter((one) => !done.back.includes(one.code)), ...out];
  const { faults } = now;
  count += 1;
  return {
    id: count,
    plan: { ...now.plan, left_out },
    faults,
    sheets: done.sheets,
    word,
    pending: true,
  };
}

/** Ask the server for a step; its answer takes the place of what was drawn here. */
async function settle(
  parent: number,
  step: Step,
  word: string,
  here: Draft | null,
): Promise<boolean> {
  const from = known.get(parent);
  const got = from ? await ask(from, [step]) : null;
  const place = here ? drafts.value.findIndex((each) => each.id === here.id) : -1;
  if (!got) {
    // refused: what was drawn on it goes with it
    if (place > 0) {
      drafts.value = drafts.value.slice(0, place);
      at.value = Math.min(at.value, place - 1);
    }
    return false;
  }
  const settled = accepted(got, word, here?.id);
  if (!here) put(settled);
  else if (place >= 0)
    drafts.value = drafts.value.map((each, index) => (index === place ? settled : each));
  return true;
}

export function undo(): void {
  if (at.value > 0) at.value -= 1;
}

export function redo(): void {
  if (canRedo.value) at.value += 1;
}

/** Keep the draft; the number of its revision comes back. */
export async function keep(): Promise<number | null> {
  await line;
  const now = draft.value;
  if (!now) return null;
  const body = { revision: base.revision, draft: now.plan };
  const send = (more: object) =>
    call<{ revision: number }>("POST", `/shows/${base.show}/drafts`, { ...body, ...more });
  const kept = await tried(async () => {
    try {
      return await send({ latest: base.latest });
    } catch (error) {
      const newer = error instanceof Refused && error.status === 412;
      if (!newer || !confirm(`${error.detail} Keep yours beside it?`)) throw error;
      return send({});
    }
  });
  return kept?.revision ?? null;
}

export interface Spot {
  sheet: VehicleSheet;
  row: RowSheet;
  place: PlaceSheet;
}

export function spotOf(code: string): Spot | null {
  for (const sheet of draft.value?.sheets ?? [])
    for (const row of sheet.rows)
      for (const place of row.places) if (place.code === code) return { sheet, row, place };
  return null;
}

/** Floor cases of a row from the left wall on, seen from the door. */
export const floorOf = (row: RowSheet): PlaceSheet[] =>
  row.places.filter((place) => place.on.length === 0).sort((one, other) => one.x - other.x);

/** Pinned rows, by the floor case that stands nearest the left wall: the pin goes where it goes. */
export const pins = signal<ReadonlySet<string>>(new Set());

const anchor = (row: RowSheet): string => floorOf(row)[0]?.code ?? "";

export const isPinned = (row: RowSheet): boolean =>
  row.places.some((place) => pins.value.has(place.code));

export function turnPin(row: RowSheet): void {
  const next = new Set(pins.value);
  if (isPinned(row)) for (const place of row.places) next.delete(place.code);
  else next.add(anchor(row));
  pins.value = next;
}

/** Numbers of the pinned rows by vehicle, as the draft stands now. */
export const pinnedRows = computed<Record<string, number[]>>(() =>
  Object.fromEntries(
    (draft.value?.sheets ?? []).map((sheet) => [
      sheet.id,
      sheet.rows.filter(isPinned).map((row) => row.number),
    ]),
  ),
);

/** The row that is chosen, or in which the chosen case stands. */
export function chosenRow(): RowSheet | null {
  const now = chosen.value;
  if (!now) return null;
  if ("code" in now) return spotOf(now.code)?.row ?? null;
  const sheet = draft.value?.sheets.find((each) => each.id === now.vehicle);
  return sheet?.rows.find((each) => each.number === now.row) ?? null;
}
