/** When to speak with the server: at once after a scan, on every sign of life, later after failures. */
import { bundle, devices, link, notes, refused, session, state, trouble, unsent } from "./signals";
import { freshBundle, knownEvents, takeOut, takePulled } from "./evening";
import { renumber, withdrawRefused } from "./withdraw";
import { hearClock } from "../store/meta";
import { cursorOf } from "../store/log";
import { refusedEvents, unsentCount } from "../store/outbox";
import { StoreTrouble } from "../store/trouble";
import { ask, Refusal, Unreachable } from "../sync/api";
import { exchange } from "../sync/exchange";
import { lastNumber, sendHeartbeat } from "../sync/heartbeat";
import { follow, isLeader, tellTabs } from "../sync/leader";
import { sendPhotos } from "../sync/photos";
import { closeStream, openStream, streaming } from "../sync/stream";
import type { DeviceHeard } from "./signals";

const POLL_MS = 7_000;
const FIRST_WAIT_MS = 1_000;
const LAST_WAIT_MS = 60_000;
const PLAN_EVERY_MS = 60_000;

let planSeen = 0;
let revisionAsked = 0;
let running = false;
let again = false;
let wait = FIRST_WAIT_MS;
let timer: ReturnType<typeof setTimeout> | undefined;

let comeBack: () => Promise<boolean> = () => Promise.resolve(false);

/** Begin once; every tab calls it, one of them leads. `reenter` tries to come in after a 401. */
export function startSync(reenter: () => Promise<boolean>): void {
  comeBack = reenter;
  addEventListener("online", () => retry());
  addEventListener("pageshow", () => retry());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") retry();
    else if (isLeader()) closeStream();
  });
  follow(retry, closeStream);
}

/** Try now, whatever the waiting time says. */
export function retry(): void {
  wait = FIRST_WAIT_MS;
  kick();
}

/** Something is to be sent or fetched. */
export function kick(): void {
  if (!isLeader()) return tellTabs({ what: "kick" });
  again = true;
  if (!running) void run();
}

async function run(): Promise<void> {
  running = true;
  clearTimeout(timer);
  while (again) {
    again = false;
    const next = await turn();
    schedule(next);
  }
  running = false;
}

/** One exchange to its end; returns after how many milliseconds to come again. */
async function turn(): Promise<number> {
  const now = session.value;
  if (!now || link.value.state === "signed_out") {
    closeStream();
    return LAST_WAIT_MS;
  }
  const tellWhatWaits = async () =>
    sendHeartbeat(now.show, now.device, unsent.value, await lastNumber());
  try {
    // back after an outage: the chief hears what waits here before it is sent, should that fail
    if (link.value.state === "waiting" && unsent.value > 0) await tellWhatWaits();
    await exchangeAll(now.show, now.device);
    // a closed show has no news, and its crew reads nothing more of the shop
    const closed = state.value?.closed != null;
    if (!closed) await lookAtPlan(now.show);
    await sendPhotos(now.show);
    await tellWhatWaits();
    if (!closed) await listen(now.show);
    wait = FIRST_WAIT_MS;
    return POLL_MS;
  } catch (error) {
    if (error instanceof Refusal && error.status === 401 && (await comeBack())) {
      again = true;
      return 0;
    }
    return failed(error);
  }
}

async function exchangeAll(show: string, device: string): Promise<void> {
  for (let more = true; more;) {
    const round = await exchange(show, device);
    const ahead = round.server_time === null ? null : clockAhead(round.server_time);
    const heard = round.came.map(({ event }) => event.hlc);
    await hearClock(heard, round.server_time);
    link.value = {
      state: "reached",
      heard_at: Date.now(),
      next_try: null,
      clock_ahead: ahead === null ? link.value.clock_ahead : Math.round(ahead / 1000),
    };
    if (round.notes.length > 0) notes.value = round.notes;
    takePulled(round.came);
    if (round.refused > 0) await answerRefusals();
    unsent.value = await unsentCount();
    more = round.more;
  }
  tellTabs({ what: "changed" });
}

async function answerRefusals(): Promise<void> {
  const found = await refusedEvents();
  // what the server will never take counts nowhere, nor here
  takeOut(found.map(({ id }) => id));
  await renumber(found);
  refused.value = await refusedEvents();
  await withdrawRefused(refused.value);
}

/** Fetch the bundle now and then, and at once when somebody works to a later revision than we. */
async function lookAtPlan(show: string): Promise<void> {
  const revisions = knownEvents().map(({ revision }) => revision);
  const latest = revisions.reduce((a, b) => Math.max(a, b), 0);
  // asked for once: a broken phone may name a revision that never comes
  const later = latest > Math.max(bundle.value?.revision ?? 0, revisionAsked);
  if (!later && Date.now() - planSeen < PLAN_EVERY_MS) return;
  await freshBundle(show);
  revisionAsked = latest;
  planSeen = Date.now();
}

/** An answer on its way may be that old: smaller differences mean nothing. */
function clockAhead(server: number): number {
  const ahead = Date.now() - server;
  return Math.abs(ahead) < 3_000 ? 0 : ahead;
}

async function listen(show: string): Promise<void> {
  if (document.visibilityState !== "visible") return;
  const since = await cursorOf(show);
  openStream(show, since, {
    cursor: (cursor) => void cursorOf(show).then((mine) => cursor > mine && kick()),
    bundle: () => void freshBundle(show).catch(() => undefined),
  });
}

function failed(error: unknown): number {
  // the owner may issue a plan while we are away, and no stream tells us afterwards
  planSeen = 0;
  if (error instanceof Refusal && (error.status === 401 || error.status === 403)) {
    closeStream();
    link.value = { ...link.value, state: "signed_out", next_try: null };
    return LAST_WAIT_MS;
  }
  if (error instanceof StoreTrouble) trouble.value = { kind: error.kind, detail: error.message };
  else if (!(error instanceof Refusal || error instanceof Unreachable)) report(error);
  const asked = error instanceof Refusal && error.retryAfter ? error.retryAfter * 1000 : 0;
  // spread, so that thirty phones do not come back in the same second
  const pause = Math.max(asked, wait * (0.7 + Math.random() * 0.6));
  wait = Math.min(wait * 2, LAST_WAIT_MS);
  link.value = { ...link.value, state: "waiting", next_try: Date.now() + pause };
  return pause;
}

function report(error: unknown): void {
  console.error("sync", error);
}

function schedule(ms: number): void {
  clearTimeout(timer);
  // with a live stream the timer is only the safety net
  const pause = streaming() && ms === POLL_MS ? POLL_MS * 4 : ms;
  timer = setTimeout(kick, pause);
}

/** Ask what each phone of the show has not sent; for the chief. */
export async function refreshDevices(): Promise<boolean> {
  const now = session.value;
  if (!now || now.role === "loader") return false;
  try {
    const { data } = await ask<DeviceHeard[]>(`/shows/${now.show}/devices`);
    devices.value = data ?? [];
    return true;
  } catch {
    return false;
  }
}
