/** What the phone knows about itself: who joined, its running numbers, how it likes to look. */
import type { Move } from "../core/bundle";
import { heardServer, NEW_CLOCK, receiveAll, type Clock } from "../core/clock";
import type { Role } from "../core/events";
import { withDatabase, write, type MetaValues } from "./db";

export interface Session {
  id: string;
  name: string;
  role: Role;
  show: string;
  /** This phone's name in the show; a new one for every join after the storage was empty. */
  device: string;
  /** The join code, to come back as the same phone. */
  code: string;
  /** The key that signs this phone's events, base64; null where the server gave none. */
  device_key: string | null;
}

/** Both only ever grow; kept with the event in one transaction. */
export interface Counters {
  device: string;
  /** The number of the last event made here. */
  n: number;
  clock: Clock;
}

export interface Prefs {
  move: Move | null;
  vehicle: string | null;
  lang: string | null;
  palette: string | null;
  voice: boolean;
  sound: boolean;
}

/** Shows that this phone left while the server could still lose its facts → when (ms). */
export type Left = Record<string, number>;

export const NO_PREFS: Prefs = {
  move: null,
  vehicle: null,
  lang: null,
  palette: null,
  voice: false,
  sound: true,
};

export async function readMeta<K extends keyof MetaValues>(key: K): Promise<MetaValues[K] | null> {
  return withDatabase(async (db) => {
    const row = await db.get("meta", key);
    return (row?.value as MetaValues[K] | undefined) ?? null;
  });
}

export async function writeMeta<K extends keyof MetaValues>(
  key: K,
  value: MetaValues[K],
): Promise<void> {
  // key and value belong together by the signature above
  await write(["meta"], (work) => work.objectStore("meta").put({ key, value } as never));
}

/** Take a new session in: a new device starts its own numbers, the same one goes on with them. */
export async function startSession(session: Session): Promise<void> {
  await write(["meta"], async (work) => {
    const meta = work.objectStore("meta");
    const before = await meta.get("counters");
    const old = before?.key === "counters" ? before.value : null;
    const n = old?.device === session.device ? old.n : 0;
    const clock = old?.clock ?? NEW_CLOCK;
    const counters: Counters = { device: session.device, n, clock };
    await Promise.all([
      meta.put({ key: "session", value: session }),
      meta.put({ key: "counters", value: counters }),
    ]);
  });
}

/** The numbers as this page wrote them last: read anew only where another tab wrote since. */
let held: Counters | null = null;

export const heldCounters = (): Counters | null => held;

export function holdCounters(counters: Counters | null): void {
  held = counters;
}

/** Go on after a number that this phone has used, should its storage have forgotten that. */
export async function numbersFrom(n: number): Promise<void> {
  const kept = await write(["meta"], async (work) => {
    const meta = work.objectStore("meta");
    const row = await meta.get("counters");
    if (row?.key !== "counters") return null;
    const value = { ...row.value, n: Math.max(row.value.n, n) };
    await meta.put({ key: "counters", value });
    return value;
  });
  holdCounters(kept);
}

/** Time as this phone has it; the steady part only counts what has passed since the start. */
export function reading(): { wall: number; steady: number } {
  return { wall: Date.now(), steady: performance.now() };
}

/** Steady time begins anew with each start of the page: what was kept of it means nothing now. */
let anchor: Clock["anchor"] = null;

export function anchored(clock: Clock): Clock {
  return { ...clock, anchor };
}

/** Let the clock know of readings from elsewhere, and of what the server's own clock says. */
export async function hearClock(heard: string[], server_ms: number | null): Promise<void> {
  const now = reading();
  const kept = await write(["meta"], async (work) => {
    const meta = work.objectStore("meta");
    const row = await meta.get("counters");
    if (row?.key !== "counters") return null;
    let clock = anchored(row.value.clock);
    if (server_ms !== null) clock = heardServer(clock, server_ms, now);
    ({ anchor } = clock);
    clock = receiveAll(clock, heard, now);
    const value = { ...row.value, clock };
    await meta.put({ key: "counters", value });
    return value;
  });
  holdCounters(kept);
}
