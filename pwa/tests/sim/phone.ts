/** One page of a phone for `python3 tests sim`: the store, the exchange and the clock that crews hold. */
import type { RowcallEvent, Body } from "../../src/core/events";
import { making } from "../../src/model/making";
import { addCarried, cursorOf, entriesOf, eventsOf } from "../../src/store/log";
import { hearClock, readMeta, startSession, type Session } from "../../src/store/meta";
import { leaveShow } from "../../src/store/leaving";
import { append, refusedEvents, unsentEvents } from "../../src/store/outbox";
import { exchange } from "../../src/sync/exchange";

type Scene = Parameters<typeof making>[1];

let session: Session | null = null;

function joined(): Session {
  if (!session) throw new Error("phone: expected a joined phone, got none");
  return session;
}

/** What the page does when it opens. */
export async function open(): Promise<void> {
  session = await readMeta("session");
  if (session) await entriesOf(session.show);
}

export async function join({ as, server_ms }: { as: Session; server_ms: number }): Promise<void> {
  await startSession(as);
  await open();
  await hearClock([], server_ms);
}

export async function say({ scene, body }: { scene: Scene; body: Body }): Promise<RowcallEvent> {
  return append(making(joined(), scene, body));
}

/** One round, as in src/model/sync.ts. */
export async function sync(): Promise<void> {
  const { show, device } = joined();
  const round = await exchange(show, device);
  await hearClock(
    round.came.map(({ event }) => event.hlc),
    round.server_time,
  );
}

/** Sign out, as in src/model/joining.ts. */
export async function leave(): Promise<void> {
  await leaveShow(joined().show);
}

/** Take in what another phone showed as codes. */
export async function carry({ events }: { events: RowcallEvent[] }): Promise<void> {
  await addCarried(events);
  await hearClock(
    events.map(({ hlc }) => hlc),
    null,
  );
}

export async function look() {
  const { show } = joined();
  const refused = await refusedEvents();
  return {
    log: await eventsOf(show),
    outbox: (await unsentEvents(show)).map(({ id }) => id),
    refused: Object.fromEntries(refused.map(({ id, reason }) => [id, reason])),
    cursor: await cursorOf(show),
  };
}
