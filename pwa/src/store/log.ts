/** Every event of a show that this phone knows, its own and the others'; never edited. */
import type { RowcallEvent } from "../core/events";
import { withDatabase, write, type Cursor, type LogEntry } from "./db";

export interface Pulled {
  seq: number;
  /** Absent from a server of an earlier version. */
  at?: number;
  event: RowcallEvent;
}

/** The last fact of each show that was read from the server and is in this page's memory. */
const read = new Map<string, string>();

/** What a fact made here comes after: see core/order.ts. */
export function lastRead(show: string): string | null {
  return read.get(show) ?? null;
}

export async function entriesOf(show: string): Promise<LogEntry[]> {
  const [rows, to] = await Promise.all([
    withDatabase((db) => db.getAllFromIndex("log", "show", show)),
    readTo(show),
  ]);
  if (to.last !== undefined) read.set(show, to.last);
  return rows;
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
export async function addPulled(
  show: string,
  pulled: Pulled[],
  cursor: number,
  backedUp?: number,
): Promise<void> {
  let newest: string | undefined;
  await write(["log", "cursors"], async (work) => {
    const log = work.objectStore("log");
    const puts = pulled.map(({ seq, at, event }) =>
      log.put({ id: event.id, show, seq, event, ...(at === undefined ? {} : { at }) }),
    );
    const cursors = work.objectStore("cursors");
    const before = await cursors.get(show);
    const kept = before?.cursor === cursor ? before.last : undefined;
    const last = pulled.find(({ seq }) => seq === cursor)?.event.id ?? kept;
    const backed_up = backedUp ?? before?.backed_up ?? 0;
    await Promise.all([
      ...puts,
      cursors.put({ show, cursor, backed_up, ...(last ? { last } : {}) }),
    ]);
    newest = last;
  });
  if (newest !== undefined) read.set(show, newest);
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
