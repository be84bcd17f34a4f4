/** Outbox to server, server to log: one round after the other until both sides hold the same. */
import type { RowcallEvent } from "../core/events";
import { addPulled, cursorOf, eventsOf, type Pulled } from "../store/log";
import { queueAgain, settle, unsentEvents } from "../store/outbox";
import { ask } from "./api";

const BATCH = 100;

interface EventsAnswer {
  stored: string[];
  refused: { id: string; reason: string }[];
  cursor: number;
  events: Pulled[];
  more: boolean;
  notes?: { at: number; text: string }[];
  /** Numbers of this phone that the server has not got although it has later ones. */
  gaps?: number[];
  /** The server's clock, ms since 1970. */
  now?: number;
}

export interface Round {
  /** Events that were new to this phone's log. */
  came: RowcallEvent[];
  refused: number;
  notes: { at: number; text: string }[];
  server_time: number | null;
}

/** One round; `more` while either side has something left that would go at once. */
export async function exchange(
  show: string,
  device: string,
): Promise<Round & { more: boolean; cursor: number }> {
  const since = await cursorOf(show);
  const waiting = await unsentEvents(show);
  const batch = waiting.slice(0, BATCH).map((row) => row.event);
  const answer = await ask<EventsAnswer>(`/shows/${show}/events`, {
    method: "POST",
    body: { device, events: batch, since },
  });
  const data = answer.data;
  if (!data)
    throw new Error("events: expected an answer with stored, refused and cursor, got none");
  const settled = await settleBatch(show, batch, data);
  await addPulled(show, data.events, data.cursor);
  await fillGaps(show, device, data.gaps ?? []);
  // a cursor that went back: the server was restored from a backup and lost what came after it
  if (data.cursor < since) await queueAgain(await eventsOf(show));
  return {
    came: data.events.map((item) => item.event),
    refused: data.refused.length,
    notes: data.notes ?? [],
    server_time: data.now ?? answer.server_time,
    cursor: data.cursor,
    // a batch of which nothing was taken must not be sent again at once
    more: data.more || data.cursor < since || (settled > 0 && waiting.length > settled),
  };
}

/** An event leaves the outbox only when the answer lists it by its id. */
async function settleBatch(show: string, batch: RowcallEvent[], data: EventsAnswer) {
  const sent = new Map(batch.map((event) => [event.id, event]));
  const stored = data.stored.filter((id) => sent.has(id));
  const refused = data.refused.flatMap(({ id, reason }) => {
    const event = sent.get(id);
    return event ? [{ id, show, event, reason }] : [];
  });
  await settle(stored, refused);
  return stored.length + refused.length;
}

async function fillGaps(show: string, device: string, gaps: number[]): Promise<void> {
  if (gaps.length === 0) return;
  const wanted = new Set(gaps);
  const own = (await eventsOf(show)).filter((event) => event.device === device);
  await queueAgain(own.filter((event) => wanted.has(event.n)));
}
