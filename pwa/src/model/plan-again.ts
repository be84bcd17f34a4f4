/** The plan changed from the dock: wishes to the server, its proposal back, and its issue. */
import type { Bundle, VehicleSheet } from "../core/bundle";
import { ask, Refusal, Unreachable } from "../sync/api";
import { freshBundle } from "./evening";
import type { Fetched } from "./papers";
import { session } from "./signals";

/** What is to be different, as the server reads it. */
export interface Wishes {
  add: string[];
  leave: string[];
  /** Case → the spare in its place. */
  swap: Record<string, string>;
  /** Cases that keep their row from closing. */
  out: string[];
  vehicles: string[] | null;
}

export interface Proposal {
  job: string;
  state: "waiting" | "working" | "done" | "failed";
  revision: number | null;
  trouble: string | null;
  faults: string[];
  left_out: string[];
  sheets: VehicleSheet[];
}

export interface VehicleName {
  id: string;
  name: string;
}

const SECONDS = 2;
const EVERY_MS = 500;
/** A worker that never starts must not leave the chief waiting. */
const PATIENCE_MS = 60_000;

const path = (): string => `/shows/${encodeURIComponent(session.value?.show ?? "")}/plans/replan`;

/** Ask for a plan from the one in hand on; `loaded`: rows that stay, by vehicle. */
export async function planAgain(
  sheet: Bundle,
  loaded: Record<string, number[]>,
  { vehicles, ...wishes }: Wishes,
): Promise<Proposal> {
  const body = {
    revision: sheet.revision,
    loaded,
    seconds: SECONDS,
    ...wishes,
    ...(vehicles ? { vehicles } : {}),
  };
  const asked = await ask<{ job: string }>(path(), { method: "POST", body });
  if (!asked.data) throw new Unreachable("no job");
  const end = Date.now() + PATIENCE_MS;
  for (;;) {
    const { data } = await ask<Proposal>(`${path()}/${asked.data.job}`);
    if (data && data.state !== "waiting" && data.state !== "working") return data;
    if (Date.now() > end) throw new Unreachable("the planner did not answer");
    await new Promise((go) => setTimeout(go, EVERY_MS));
  }
}

/** Put a proposal into the crew's hands; this phone takes it up at once, others when they hear. */
export async function issueProposal(job: string): Promise<Fetched> {
  try {
    await ask(`${path()}/${job}/issue`, { method: "POST", body: {} });
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, why: error.detail };
    if (error instanceof Unreachable) return { ok: false, why: null };
    throw error;
  }
  await freshBundle(session.value?.show ?? "").catch(() => undefined);
  return { ok: true };
}

/** Vehicles of the shop; none where the server is not reached. */
export async function vehiclesToTake(): Promise<readonly VehicleName[]> {
  const none = { data: null };
  const { data } = await ask<{ vehicles: VehicleName[] }>(path()).catch(() => none);
  return data?.vehicles ?? [];
}

/** Why no plan came, in the server's words; null where it was not reached. */
export function whyNot(error: unknown): string | null {
  if (error instanceof Refusal) return error.detail;
  if (error instanceof Unreachable) return null;
  throw error;
}
