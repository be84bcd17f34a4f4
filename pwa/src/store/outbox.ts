/** Events made here: appended once, kept until the server has answered for them. */
import type { RowcallEvent } from "../core/events";
import type { Clock } from "../core/clock";
import { withDatabase, write, type RefusedEvent, type Unsent } from "./db";
import { heldCounters, holdCounters, type Counters } from "./meta";
import { dropSentPhotos } from "./photos";
import { StoreTrouble } from "./trouble";

/** Makes an event from the numbers that are next; may take its time (signing does). */
export type Make = (counters: Counters) => Promise<{ event: RowcallEvent; clock: Clock }>;

/**
 * Append one event to log and outbox, or throw StoreTrouble; after it returns the event is safe.
 *
 * The numbers are read before and checked again inside the write, so two tabs never share one.
 * When the phone is full, photos that the server already has make room.
 */
export async function append(make: Make): Promise<RowcallEvent> {
  try {
    return await tryAppend(make);
  } catch (error) {
    if (!(error instanceof StoreTrouble) || error.kind !== "storage_full") throw error;
    if ((await dropSentPhotos()) === 0) throw error;
    return tryAppend(make);
  }
}

async function tryAppend(make: Make): Promise<RowcallEvent> {
  for (;;) {
    const last = await lastCounters();
    const { event, clock } = await make({ ...last, n: last.n + 1 });
    const next = { ...last, n: last.n + 1, clock };
    const done = await put(event, next, last);
    holdCounters(done ? next : null);
    if (done) return event;
  }
}

async function lastCounters(): Promise<Counters> {
  const held = heldCounters();
  if (held) return held;
  const row = await withDatabase((db) => db.get("meta", "counters"));
  if (row?.key !== "counters") throw new Error("outbox: expected a joined phone, got no counters");
  return row.value;
}

/** Write all or nothing; false when another tab wrote numbers or clock meanwhile. */
async function put(event: RowcallEvent, next: Counters, seen: Counters): Promise<boolean> {
  return write(["meta", "log", "outbox"], async (work) => {
    const meta = work.objectStore("meta");
    const row = await meta.get("counters");
    const now = row?.key === "counters" ? row.value : null;
    if (JSON.stringify(now) !== JSON.stringify(seen)) return false;
    const { id, show, n } = event;
    await Promise.all([
      meta.put({ key: "counters", value: next }),
      work.objectStore("log").put({ id, show, seq: null, event }),
      work.objectStore("outbox").put({ id, show, n, event }),
    ]);
    return true;
  });
}

/** Everything not yet answered for, in the order it was made. */
export async function unsentEvents(show: string): Promise<Unsent[]> {
  const rows = await withDatabase((db) => db.getAllFromIndex("outbox", "show", show));
  return rows.sort((a, b) => a.n - b.n || (a.id < b.id ? -1 : 1));
}

export async function unsentCount(): Promise<number> {
  return withDatabase((db) => db.count("outbox"));
}

/** Take out of the outbox exactly what the server's answer lists; the refused ones are kept apart. */
export async function settle(stored: string[], refused: RefusedEvent[]): Promise<void> {
  if (stored.length + refused.length === 0) return;
  await write(["outbox", "refused", "log"], async (work) => {
    const outbox = work.objectStore("outbox");
    const steps: Promise<unknown>[] = stored.map((id) => outbox.delete(id));
    for (const entry of refused) {
      steps.push(work.objectStore("refused").put(entry), outbox.delete(entry.id));
      // what the server will never take must not count here either
      steps.push(work.objectStore("log").delete(entry.id));
    }
    await Promise.all(steps);
  });
}

/** Put events of this phone back in line: the server said it does not have them. */
export async function queueAgain(events: RowcallEvent[]): Promise<void> {
  await write(["outbox"], async (work) => {
    const outbox = work.objectStore("outbox");
    await Promise.all(
      events.map((event) => outbox.put({ id: event.id, show: event.show, n: event.n, event })),
    );
  });
}

/** These were made again under other ids. */
export async function forgetRefused(ids: string[]): Promise<void> {
  await write(["refused"], async (work) => {
    await Promise.all(ids.map((id) => work.objectStore("refused").delete(id)));
  });
}

export async function refusedEvents(): Promise<RefusedEvent[]> {
  return withDatabase((db) => db.getAll("refused"));
}
