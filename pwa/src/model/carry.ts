/** Events by other ways than the network: codes on a screen, a file as the last resort. */
import type { RowcallEvent } from "../core/events";
import { BadHandover, parseEvents, unpack } from "../handover/packing";
import { showEvents, type Showing } from "../handover/show";
import { addCarried } from "../store/log";
import { unsentCount, unsentEvents } from "../store/outbox";
import { tellTabs } from "../sync/leader";
import { kick } from "./sync";
import { knownEvents, takeIn } from "./evening";
import { handover, session, unsent } from "./signals";

/** Show this phone's events as codes: what the server lacks, or with `all` everything it knows. */
export async function showHandover(
  canvas: HTMLCanvasElement,
  all: boolean,
  tick?: (index: number) => void,
): Promise<Showing> {
  const events = all ? knownEvents() : await waiting();
  return showEvents(events, canvas, tick);
}

/** Take a whole run of codes in: log, outbox, state. */
export async function takeCarried(payload: Uint8Array, total: number): Promise<void> {
  const end = { have: total, total };
  try {
    const fresh = await keep(await unpack(payload));
    handover.value = { ...end, fresh, failed: null };
  } catch (error) {
    handover.value = { ...end, fresh: null, failed: String(error) };
  }
}

/** The unsent events as a file of JSON, to be carried by any means. */
export async function exportUnsent(): Promise<Blob> {
  const text = JSON.stringify({ format: "rowcall-events-1", events: await waiting() });
  return new Blob([text], { type: "application/json" });
}

/** Take a file of `exportUnsent` in; how many events were new, or why it is none of ours. */
export async function importCarried(
  file: Blob,
): Promise<{ ok: true; fresh: number } | { ok: false; detail: string }> {
  try {
    return { ok: true, fresh: await keep(parseEvents(await file.text())) };
  } catch (error) {
    if (error instanceof BadHandover) return { ok: false, detail: error.message };
    throw error;
  }
}

async function keep(events: RowcallEvent[]): Promise<number> {
  const show = session.value?.show;
  const other = events.find((event) => event.show !== show);
  if (other) throw new BadHandover(`events of the show ${show ?? "joined"}`, other.show);
  const fresh = await addCarried(events);
  takeIn(events);
  unsent.value = await unsentCount();
  tellTabs({ what: "changed" });
  kick();
  return fresh;
}

async function waiting(): Promise<RowcallEvent[]> {
  const show = session.value?.show;
  return show ? (await unsentEvents(show)).map((row) => row.event) : [];
}
