/** A night as it happens: bundle and events of one show, kept up to date by the phones' stream. */
import { signal } from "@preact/signals";
import type { Bundle } from "../../core/bundle";
import type { RowcallEvent } from "../../core/events";
import { fold } from "../../core/fold";
import type { Phone } from "../../core/night-summary";
import type { Arrival } from "../../core/order";
import type { State } from "../../core/state";
import { Refusal, ask } from "../../sync/api";
import { closeStream, openStream, streaming } from "../../sync/stream";

export interface Night {
  bundle: Bundle;
  state: State;
  events: readonly RowcallEvent[];
  arrivals: ReadonlyMap<string, Arrival>;
}

/** Null: nothing is loaded; `none`: no plan of this show was issued. */
export const night = signal<Night | "none" | null>(null);
export const phones = signal<readonly Phone[]>([]);
/** When the server last answered, and whether news come by the stream. */
export const link = signal({ at: 0, live: false });

interface Page {
  events: { seq: number; at: number; event: RowcallEvent }[];
  cursor: number;
  more: boolean;
}

const POLL_MS = 5_000;
const PHONES_MS = 10_000;
/** Many scans at once are drawn together: well within the second that the office may be behind. */
const DRAW_MS = 150;

let show = "";
let address = "";
let bundle: Bundle | null = null;
let etag: string | null = null;
let known = new Map<string, RowcallEvent>();
let arrivals = new Map<string, Arrival>();
let cursor = 0;
let last = "";
let skew = 0;
let reading: Promise<void> | null = null;
let again = false;
let timers: ReturnType<typeof setInterval>[] = [];
let drawing: ReturnType<typeof setTimeout> | undefined;

/** The server's clock now, which is what the events are ordered by. */
export const serverNow = (): number => Date.now() + skew;

/** Follow a show until the returned function is called. */
export function follow(id: string): () => void {
  leave();
  show = id;
  address = `/shows/${encodeURIComponent(id)}`;
  void begin(id);
  return () => {
    if (show === id) leave();
  };
}

async function begin(id: string): Promise<void> {
  await freshBundle();
  await news();
  if (show !== id) return;
  void freshPhones();
  openStream(id, cursor, {
    cursor: () => void news(),
    bundle: () => void freshBundle(),
  });
  timers = [
    setInterval(() => {
      link.value = { ...link.value, live: streaming() };
      if (!streaming()) void freshBundle().then(news);
    }, POLL_MS),
    setInterval(() => void freshPhones(), PHONES_MS),
  ];
}

function leave(): void {
  closeStream();
  timers.forEach(clearInterval);
  clearTimeout(drawing);
  drawing = undefined;
  timers = [];
  [show, bundle, etag, cursor, last] = ["", null, null, 0, ""];
  [known, arrivals] = [new Map(), new Map()];
  night.value = null;
  phones.value = [];
}

/** Ask; null where there is no answer, which is nothing new: what is shown stays, with its time. */
async function tried<T>(path: string, tag: string | null = null) {
  const asked = show;
  try {
    const got = await ask<T>(`${address}${path}`, { etag: tag });
    if (show !== asked) return null;
    if (got.server_time !== null) skew = got.server_time - Date.now();
    link.value = { at: Date.now(), live: streaming() };
    return got;
  } catch (error) {
    if (error instanceof Refusal && error.status === 409 && show === asked && !bundle)
      night.value = "none";
    return null;
  }
}

async function freshBundle(): Promise<void> {
  const got = await tried<Bundle>("/bundle", etag);
  if (!got?.data) return;
  bundle = got.data;
  etag = got.etag;
  draw();
}

/** Read on from the cursor; asked again meanwhile, it reads once more. */
function news(): Promise<void> {
  again = reading !== null;
  reading ??= read().finally(() => {
    reading = null;
    if (again) void news();
  });
  return reading;
}

async function read(): Promise<void> {
  for (;;) {
    const at = new URLSearchParams({ since: String(cursor), last });
    const got = await tried<Page>(`/events?${at}`);
    const page = got?.data;
    if (!page) return;
    for (const { seq, at: arrived, event } of page.events) {
      known.set(event.id, event);
      arrivals.set(event.id, { seq, at: arrived });
      last = event.id;
    }
    cursor = page.cursor;
    if (page.events.length > 0 || night.value === null) draw();
    if (!page.more) return;
  }
}

async function freshPhones(): Promise<void> {
  const got = await tried<Phone[]>("/devices");
  if (got?.data) phones.value = got.data;
}

function draw(): void {
  drawing ??= setTimeout(() => {
    drawing = undefined;
    if (bundle) night.value = nightOf(bundle, [...known.values()], new Map(arrivals));
  }, DRAW_MS);
}

function nightOf(
  sheet: Bundle,
  events: readonly RowcallEvent[],
  order: ReadonlyMap<string, Arrival>,
): Night {
  return { bundle: sheet, state: fold(sheet, events, order), events, arrivals: order };
}
