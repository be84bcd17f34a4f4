/** A plan being changed by hand: every step is done and judged on the server, and can be undone. */
import { computed, signal } from "@preact/signals";
import type { PlaceSheet, RowSheet, Stance, VehicleSheet } from "../core/bundle";
import type { PlanDocument } from "./model";
import { call } from "./net";
import { tried } from "./state";

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
  plan: PlanDocument;
  faults: string[];
  sheets: VehicleSheet[];
  /** What was done to get here. */
  word: string;
}

export type Chosen = { code: string } | { vehicle: string; row: number } | null;

const drafts = signal<readonly Draft[]>([]);
const at = signal(0);
export const chosen = signal<Chosen>(null);
export const busy = signal(false);
/** How long the last step took until it was judged and drawn, ms. */
export const took = signal(0);
let base = { show: "", revision: 0 };

export const draft = computed<Draft | null>(() => drafts.value[at.value] ?? null);
export const first = computed<Draft | null>(() => drafts.value[0] ?? null);
export const before = computed<Draft | null>(() => drafts.value[at.value - 1] ?? null);
export const changed = computed(() => at.value > 0);
export const canRedo = computed(() => at.value < drafts.value.length - 1);

export async function begin(show: string, revision: number): Promise<void> {
  base = { show, revision };
  drafts.value = [];
  at.value = 0;
  chosen.value = null;
  const got = await ask(null, []);
  if (got) drafts.value = [{ ...got, word: `revision ${revision}` }];
}

function ask(from: PlanDocument | null, steps: readonly Step[]): Promise<Draft | null> {
  const body = { revision: base.revision, draft: from, steps };
  return tried(() => call<Draft>("POST", `/shows/${base.show}/edit`, body));
}

/** Do a step on the draft as it stands; one at a time. */
export async function act(step: Step, word: string): Promise<boolean> {
  const now = draft.value;
  if (!now || busy.value) return false;
  busy.value = true;
  const began = performance.now();
  const got = await ask(now.plan, [step]);
  busy.value = false;
  if (!got) return false;
  drafts.value = [...drafts.value.slice(0, at.value + 1), { ...got, word }];
  at.value = drafts.value.length - 1;
  took.value = Math.round(performance.now() - began);
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
  const now = draft.value;
  if (!now) return null;
  const body = { revision: base.revision, draft: now.plan };
  const kept = await tried(() =>
    call<{ revision: number }>("POST", `/shows/${base.show}/drafts`, body),
  );
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
