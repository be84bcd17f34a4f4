/** Outbox to server, server to log: one round after the other until both sides hold the same. */
import type { RowcallEvent } from "../core/events";
import type { Range } from "../core/running-numbers";
import { addPulled, eventsOf, readTo, type Pulled } from "../store/log";
import { queueAgain, settle, unsentEvents } from "../store/outbox";
import { photosAgain } from "../store/photos";
import { ask } from "./api";

const BATCH = 100;

interface EventsAnswer {
  stored: string[];
  refused: { id: string; reason: string; code?: string }[];
  cursor: number;
  events: Pulled[];
  more: boolean;
  notes?: { at: number; text: string }[];
  /** Numbers of this phone that the server has not got although it has later ones. */
  gaps?: number[];
  /** The same as ranges [first, last]; absent from a server of an earlier version. */
  gap_ranges?: Range[];
  /** The server's clock, ms since 1970. */
  now?: number;
  /** Facts stored up to then are in two backups; 0: none are. */
  backed_up?: number;
}

interface Round {
  /** What the server has that this phone had not read. */
  came: Pulled[];
  refused: number;
  notes: { at: number; text: string }[];
  server_time: number | null;
}

/** One round; `more` while either side has something left that would go at once. */
export async function exchange(
  show: string,
  device: string,
): Promise<Round & { more: boolean; cursor: number }> {
  const { cursor: since, last } = await readTo(show);
  const waiting = await unsentEvents(show);
  const batch = waiting.slice(0, BATCH).map((row) => row.event);
  // in the address, where a server that does not know it takes no offence
  const known = last ? `?last=${encodeURIComponent(last)}` : "";
  const answer = await ask<EventsAnswer>(`/shows/${show}/events${known}`, {
    method: "POST",
    body: { device, events: batch, since },
  });
  const data = answer.data;
  if (!data)
    throw new Error("events: expected an answer with stored, refused and cursor, got none");
  const settled = await settleBatch(show, batch, data);
  await addPulled(show, data.events, data.cursor, data.backed_up);
  const ranges = data.gap_ranges ?? (data.gaps ?? []).map((n): Range => [n, n]);
  await fillGaps(show, device, ranges);
  // it reads to us from the start: it was restored from a backup and lost what came after that
  const restored = data.cursor < since || data.events.some(({ seq }) => seq <= since);
  if (restored) {
    await queueAgain(await eventsOf(show));
    await photosAgain(show);
  }
  return {
    came: data.events,
    refused: data.refused.length,
    notes: data.notes ?? [],
    server_time: data.now ?? answer.server_time,
    cursor: data.cursor,
    // a batch of which nothing was taken must not be sent again at once
    more: data.more || restored || (settled > 0 && waiting.length > settled),
  };
}

/** An event leaves the outbox only when the answer lists it by its id. */
async function settleBatch(show: string, batch: RowcallEvent[], data: EventsAnswer) {
  const sent = new Map(batch.map((event) => [event.id, event]));
  const stored = data.stored.filter((id) => sent.has(id));
  const refused = data.refused.flatMap(({ id, reason, code }) => {
    const event = sent.get(id);
    return event ? [{ id, show, event, reason, ...(code ? { code } : {}) }] : [];
  });
  await settle(stored, refused);
  return stored.length + refused.length;
}

async function fillGaps(show: string, device: string, gaps: Range[]): Promise<void> {
  if (gaps.length === 0) return;
  const wanted = ({ n }: RowcallEvent) => gaps.some(([first, last]) => first <= n && n <= last);
  const own = (await eventsOf(show)).filter((event) => event.device === device);
  await queueAgain(own.filter(wanted));
}
