/** What the crew reports, from the tap to the phone's storage. */
import { signal } from "@preact/signals";
import type { Move } from "../core/bundle";
import type { Body, Kind, RowcallEvent } from "../core/events";
import { keepPhoto } from "../store/photos";
import { append, unsentCount } from "../store/outbox";
import { asJpeg } from "../scan/photo";
import { StoreTrouble } from "../store/trouble";
import { kick } from "./sync";
import { tellTabs } from "../sync/leader";
import { takeIn } from "./evening";
import { making, newId } from "./making";
import { painted } from "./painted";
import { askToKeep } from "./storage";
import { bundle, move, session, trouble, unsent, vehicleId } from "./signals";

/** Where it happened, when it is not the move and vehicle that this phone works. */
export interface Where {
  vehicle?: string | null;
  move?: Move;
}

/** Facts of the whole show belong to no vehicle unless one is named. */
const SHOW_WIDE: ReadonlySet<Kind> = new Set<Kind>([
  "walked",
  "hazard",
  "hazard_gone",
  "signed_off",
  "closed",
]);

/** Events being written: one after the other, so that their numbers follow the crew's order. */
let line: Promise<unknown> = Promise.resolve();

/** True while something is on its way into storage: the screen may not say "taken" yet. */
export const writing = signal(false);

/** What is to be shown as soon as a fact is safe, before the state that it brings. */
type Told = (event: RowcallEvent) => void;

/** Append one fact; null (and `trouble` says why) when it could not be made safe. */
export function report(body: Body, where: Where = {}, told?: Told): Promise<RowcallEvent | null> {
  const made = line.then(() => write(body, where, told));
  line = made;
  return made;
}

/** Void an event of this phone. */
export function undo(event: string, where: Where = {}): Promise<RowcallEvent | null> {
  return report({ kind: "undone", event }, where);
}

/** Keep a picture on the phone; its name goes into an event, the picture follows when it can. */
export async function photograph(blob: Blob): Promise<string | null> {
  const show = session.value?.show;
  if (!show) return null;
  const id = newId();
  try {
    // large enough to read a label on, small enough for a night full of them
    const small = await asJpeg(blob, 2_000).catch(() => blob);
    await keepPhoto({ id, show, blob: small, taken: Date.now(), stored: null });
    return id;
  } catch (error) {
    return failed(error);
  }
}

async function write(body: Body, where: Where, told?: Told): Promise<RowcallEvent | null> {
  const now = session.value;
  const at = where.move ?? move.value;
  if (!now || !at || !bundle.value) return null;
  const usual = SHOW_WIDE.has(body.kind) ? null : vehicleId.value;
  const vehicle = where.vehicle === undefined ? usual : where.vehicle;
  writing.value = true;
  try {
    const scene = { move: at, vehicle, revision: bundle.value.revision };
    const event = await append(making(now, scene, body));
    if (told) {
      told(event);
      await painted();
    }
    takeIn([event]);
    void goOn();
    return event;
  } catch (error) {
    return failed(error);
  } finally {
    writing.value = false;
  }
}

/** What follows a fact that is safe: nobody waits for it, least of all the next scan. */
async function goOn(): Promise<void> {
  // there is room again
  if (trouble.value?.kind === "storage_full") trouble.value = null;
  try {
    unsent.value = await unsentCount();
  } catch (error) {
    failed(error);
  }
  tellTabs({ what: "changed" });
  kick();
  void askToKeep();
}

function failed(error: unknown): null {
  if (!(error instanceof StoreTrouble)) throw error;
  trouble.value = { kind: error.kind, detail: error.message };
  return null;
}
