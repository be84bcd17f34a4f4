/** Every event of a show that this phone knows, its own and the others'; never edited. */
import type { RowcallEvent } from "../core/events";
import { withDatabase, write, type Cursor } from "./db";

export interface Pulled {
  seq: number;
  event: RowcallEvent;
}

export async function eventsOf(show: string): Promise<RowcallEvent[]> {
  const rows = await withDatabase((db) => db.getAllFromIndex("log", "show", show));
  return rows.map((row) => row.event);
}

export async function cursorOf(show: string): Promise<number> {
  return (await readTo(show)).cursor;
}

export async function readTo(show: string): Promise<Cursor> {
  return (await withDatabase((db) => db.get("cursors", show))) ?? { show, cursor: 0 };
}

/** Add what the server sent and move the cursor, in one step: neither is ever ahead of the other. */
export async function addPulled(show: string, pulled: Pulled[], cursor: number): Promise<void> {
  await write(["log", "cursors"], async (work) => {
    const log = work.objectStore("log");
    const puts = pulled.map(({ seq, event }) => log.put({ id: event.id, show, seq, event }));
    const cursors = work.objectStore("cursors");
    const before = await cursors.get(show);
    const kept = before?.cursor === cursor ? before.last : undefined;
    const last = pulled.find(({ seq }) => seq === cursor)?.event.id ?? kept;
    await Promise.all([...puts, cursors.put({ show, cursor, ...(last ? { last } : {}) })]);
  });
}

/** Add events that came by another way than the server (shown as codes); returns how many were new. */
export async function addCarried(events: RowcallEvent[]): Promise<number> {
  return write(["log", "outbox"], async (work) => {
    const log = work.objectStore("log");
    let fresh = 0;
    for (const event of events) {
      const { id, show, n } = event;
      if (await log.getKey(id)) continue;
      fresh += 1;
      await log.put({ id, show, seq: null, event });
      // carried to the server by whichever phone finds it first
      await work.objectStore("outbox").put({ id, show, n, event });
    }
    return fresh;
  });
}
