/** Coming in with a name and a code, and going out again. */
import { batch } from "@preact/signals";
import type { Role } from "../core/events";
import { readMeta, startSession, type Session } from "../store/meta";
import { unsentCount } from "../store/outbox";
import { StoreTrouble } from "../store/trouble";
import { ask, Refusal, Unreachable } from "../sync/api";
import { tellTabs } from "../sync/leader";
import { retry } from "./sync";
import { freshBundle, loadEvening } from "./evening";
import { random } from "./making";
import { bundle, link, move, session, state, trouble, unsent, vehicleId } from "./signals";

export type JoinAnswer =
  | { ok: true }
  /** refused: the server's own words in `detail`; unsent: this phone still holds another show's events. */
  | {
      ok: false;
      why: "refused" | "slow_down" | "not_reached" | "unsent" | "storage";
      detail: string;
    };

interface Joined {
  session: { id: string; name: string; role: Role; show: string };
  device_key: string | null;
}

interface Entering {
  code: string;
  name: string;
  device: string;
  pin?: string;
  /** Proves that this is the phone that it says it is. */
  device_key?: string;
}

const DEVICE_SIGNS = "abcdefghijkmnpqrstuvwxyz23456789";

/** Join a show; the bundle and every event so far come with it, so that the network may go at once. */
export async function join(code: string, name: string, pin?: string): Promise<JoinAnswer> {
  try {
    return await tryJoin(code.trim().toUpperCase(), name.trim(), pin);
  } catch (error) {
    if (error instanceof Refusal && error.status === 429)
      return { ok: false, why: "slow_down", detail: String(error.retryAfter ?? "") };
    if (error instanceof Refusal) return { ok: false, why: "refused", detail: error.detail };
    if (error instanceof Unreachable) return { ok: false, why: "not_reached", detail: "" };
    if (error instanceof StoreTrouble) return { ok: false, why: "storage", detail: error.kind };
    throw error;
  }
}

async function tryJoin(code: string, name: string, pin?: string): Promise<JoinAnswer> {
  const before = await readMeta("session");
  const same = before?.code === code;
  if (!same && (await unsentCount()) > 0) return { ok: false, why: "unsent", detail: "" };
  // numbers run per phone and show without gaps: another show, or an emptied phone, begins anew
  const device = same && before ? before.device : newDevice();
  const key = same ? before.device_key : null;
  const now = await enter({
    code,
    name,
    device,
    ...(pin ? { pin } : {}),
    ...(key ? { device_key: key } : {}),
  });
  markCookies(device);
  await startSession(now);
  await loadEvening(now.show);
  await freshBundle(now.show);
  batch(() => {
    session.value = now;
    link.value = { state: "reached", heard_at: Date.now(), next_try: null, clock_ahead: null };
    trouble.value = null;
    if (before?.show !== now.show) [move.value, vehicleId.value] = [null, null];
  });
  tellTabs({ what: "session" });
  retry();
  return { ok: true };
}

/** Ask the server in; a phone that it does not know again goes on under a new name. */
async function enter(body: Entering): Promise<Session> {
  const { code, device } = body;
  try {
    const { data } = await ask<Joined>("/join", { method: "POST", body });
    if (!data) throw new Error("join: expected a session in the answer, got none");
    return { ...data.session, device, code, device_key: data.device_key };
  } catch (error) {
    if (!(error instanceof Refusal && error.status === 409 && body.device_key)) throw error;
    const { device_key: _old, ...rest } = body;
    return enter({ ...rest, device: newDevice() });
  }
}

function newDevice(): string {
  return Array.from(random(10), (byte) => DEVICE_SIGNS.charAt(byte % 32)).join("");
}

/**
 * Sign in again by ourselves where the browser has lost its cookies (they reach the disk later than
 * our storage does, so a phone that dies soon after joining forgets them).
 *
 * Not when the server has ended the session: then the mark is still there. Not as chief: the PIN is
 * asked for anew.
 */
export async function comeBack(): Promise<boolean> {
  const kept = session.value;
  if (!kept || kept.role !== "loader" || cookiesMarked()) return false;
  try {
    const { code, name, device, device_key: key } = kept;
    const now = await enter({ code, name, device, ...(key ? { device_key: key } : {}) });
    markCookies(now.device);
    await startSession(now);
    session.value = now;
    return true;
  } catch (error) {
    if (error instanceof Refusal || error instanceof Unreachable) return false;
    throw error;
  }
}

const MARK = "rowcall-in";

/** A mark beside the session's cookie, which no script can see. */
function markCookies(device: string): void {
  document.cookie = `${MARK}=${device}; path=/; max-age=129600; SameSite=Lax`;
}

function cookiesMarked(): boolean {
  return document.cookie.split("; ").some((cookie) => cookie.startsWith(`${MARK}=`));
}

/** Take up the session of the last start; true if there is one. */
export async function resume(): Promise<boolean> {
  const kept = await readMeta("session");
  if (!kept) return false;
  await loadEvening(kept.show);
  session.value = kept;
  return true;
}

/**
 * On a phone without a session: does the server remember one for it?
 *
 * Then the phone's storage was emptied, by the browser or by hand, and what had not been sent is
 * gone: the crew is told. The chief's list of phones says how much that was at the last word.
 */
export async function lookForLoss(): Promise<void> {
  // nobody ever joined here: asking would only leave an error in the browser's console
  if (!cookiesMarked()) return;
  try {
    const { data } = await ask<{ show: string | null; last_n?: number; unsent?: number }>(
      "/session",
    );
    if (!data?.show) return;
    const detail = `${data.last_n ?? 0} ${data.unsent ?? 0}`;
    trouble.value = { kind: "came_back_empty", detail };
  } catch {
    // not joined before, or no network: nothing to tell
  }
}

/** Delete what remained here of shows that this phone left, as far as that is safe. */
export async function clearUp(): Promise<void> {
  if (!(await readMeta("left"))) return;
  const { forgetLeft } = await import("../store/leaving");
  await forgetLeft();
}

/** Leave the show and forget what is safe; false (and nothing happens) while anything is unsent. */
export async function signOutWhenEmpty(): Promise<boolean> {
  if ((await unsentCount()) > 0) return false;
  const kept = session.value;
  // loaded first: it may be missing where there is no signal, and then nothing happens
  const leaving = await import("../store/leaving");
  try {
    await ask("/session", { method: "DELETE" });
  } catch (error) {
    if (!(error instanceof Refusal || error instanceof Unreachable)) throw error;
  }
  document.cookie = `${MARK}=; path=/; max-age=0; SameSite=Lax`;
  if (kept) await leaving.leaveShow(kept.show);
  batch(() => {
    session.value = bundle.value = state.value = null;
    move.value = vehicleId.value = null;
    unsent.value = 0;
    link.value = { state: "never", heard_at: null, next_try: null, clock_ahead: null };
  });
  tellTabs({ what: "session" });
  return true;
}
