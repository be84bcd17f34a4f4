/** What the phone knows about itself: who joined, its running numbers, how it likes to look. */
import type { Move } from "../core/bundle";
import type { Role } from "../core/events";
import { STRICT, withDatabase, type MetaValues } from "./db";

export interface Session {
  id: string;
  name: string;
  role: Role;
  show: string;
  /** This phone's name in the show; a new one for every join after the storage was empty. */
  device: string;
  /** The key that signs this phone's events, base64; null where the server gave none. */
  device_key: string | null;
}

/** Both only ever grow; kept with the event in one transaction. */
export interface Counters {
  device: string;
  /** The number of the last event made here. */
  n: number;
  /** The latest clock reading seen or made. */
  hlc: string;
}

export interface Prefs {
  move: Move | null;
  vehicle: string | null;
  lang: string | null;
  palette: string | null;
  voice: boolean;
  sound: boolean;
}

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
  await withDatabase(async (db) => {
    const done = db.transaction("meta", "readwrite", STRICT);
    // key and value belong together by the signature above
    await Promise.all([done.store.put({ key, value } as never), done.done]);
  });
}

/** Take a new session in: its device starts its own numbers, or goes on after the last known. */
export async function startSession(session: Session, lastN: number): Promise<void> {
  await withDatabase(async (db) => {
    const done = db.transaction("meta", "readwrite", STRICT);
    const before = await done.store.get("counters");
    const old = before?.key === "counters" ? before.value : null;
    const n = Math.max(lastN, old?.device === session.device ? old.n : 0);
    const counters: Counters = { device: session.device, n, hlc: old?.hlc ?? "" };
    void done.store.put({ key: "session", value: session });
    void done.store.put({ key: "counters", value: counters });
    await done.done;
  });
}
