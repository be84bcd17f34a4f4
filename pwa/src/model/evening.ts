/** The night in this phone's memory: bundle and events in, one state out. */
import { batch } from "@preact/signals";
import type { Bundle } from "../core/bundle";
import type { RowcallEvent } from "../core/events";
import { fold } from "../core/fold";
import type { Arrival } from "../core/order";
import { planMoves } from "../core/plan-moves";
import { heldBundle, holdBundle } from "../store/bundle-store";
import { entriesOf, type Pulled } from "../store/log";
import { refusedEvents, unsentCount } from "../store/outbox";
import { ask } from "../sync/api";
import { photosAhead } from "../sync/case-photos";
import { tellTabs } from "../sync/leader";
import { bundle, refused, revisionNews, state, unsent } from "./signals";

const known = new Map<string, RowcallEvent>();
const arrivals = new Map<string, Arrival>();
let show = "";
/** The plan that the crew last looked at: moves are told from there, over several revisions. */
let looked: Bundle | null = null;

/** Read everything that the phone holds of a show. */
export async function loadEvening(name: string): Promise<void> {
  const [held, entries, waiting, never] = await Promise.all([
    heldBundle(name),
    entriesOf(name),
    unsentCount(),
    refusedEvents(),
  ]);
  if (show !== name) {
    known.clear();
    arrivals.clear();
  }
  show = name;
  for (const { id, event, seq, at } of entries) {
    known.set(id, event);
    if (seq !== null && at !== undefined) arrivals.set(id, { seq, at });
  }
  // what the server refused was taken out of the log: it must not count here either
  for (const { id } of never) known.delete(id);
  batch(() => {
    take(held?.bundle ?? null);
    unsent.value = waiting;
    refused.value = never;
    refold();
  });
}

/** Events that came in, from wherever; those already known change nothing. */
export function takeIn(events: Iterable<RowcallEvent>): void {
  const before = known.size;
  for (const event of events)
    if (event.show === show && !known.has(event.id)) known.set(event.id, event);
  if (known.size !== before) refold();
}

/** Events from the server, with its order of arrival. */
export function takePulled(pulled: Pulled[]): void {
  let news = false;
  for (const { event, seq, at } of pulled) {
    if (event.show !== show) continue;
    news = news || !known.has(event.id);
    if (!known.has(event.id)) known.set(event.id, event);
    if (at === undefined) continue;
    news = news || arrivals.get(event.id)?.seq !== seq;
    arrivals.set(event.id, { seq, at });
  }
  if (news) refold();
}

/** The server will never take these: they count no longer. */
export function takeOut(ids: Iterable<string>): void {
  let gone = false;
  for (const id of ids) gone = known.delete(id) || gone;
  if (gone) refold();
}

export function knownEvents(): RowcallEvent[] {
  return [...known.values()];
}

/** Fetch the bundle if the server has another; keep it, and tell when the plan's revision moved. */
export async function freshBundle(name: string): Promise<void> {
  const held = await heldBundle(name);
  const { data, etag } = await ask<Bundle>(`/shows/${encodeURIComponent(name)}/bundle`, {
    etag: held?.etag ?? null,
  });
  if (!data) return;
  await holdBundle(name, { bundle: data, etag });
  if (name !== show) return;
  batch(() => {
    take(data);
    refold();
  });
  tellTabs({ what: "changed" });
  void photosAhead(data);
}

/** Put a bundle in the place of the one before; a later revision of the same show is news. */
function take(next: Bundle | null): void {
  const before = bundle.value;
  bundle.value = next;
  if (!before || !next || before.show.id !== next.show.id) return;
  if (before.revision === next.revision) return;
  if (revisionNews.value === null) looked = before;
  const moves = planMoves(looked ?? before, next);
  revisionNews.value = { from: (looked ?? before).revision, to: next.revision, moves };
}

/** The crew has looked at the moves of the new revision. */
export function revisionSeen(): void {
  revisionNews.value = null;
}

function refold(): void {
  state.value = bundle.value ? fold(bundle.value, known.values(), arrivals) : null;
}
