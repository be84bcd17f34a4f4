/** Makes events: numbers, clock, signature. The numbers come from the store, see `append`. */
import { canonical } from "../core/canonical";
import { hlcText, tick, uuid7 } from "../core/clock";
import type { Move } from "../core/bundle";
import type { Body, RowcallEvent } from "../core/events";
import { anchored, reading, type Counters, type Session } from "../store/meta";
import { lastRead } from "../store/log";
import type { Make } from "../store/outbox";

/** Where and on which plan the fact happened. */
interface Scene {
  move: Move;
  vehicle: string | null;
  revision: number;
}

export function random(count: number): Uint8Array<ArrayBuffer> {
  return crypto.getRandomValues(new Uint8Array(count));
}

export function newId(): string {
  return uuid7(Date.now(), random(10));
}

/** Return what `append` calls with the numbers that are next. */
export function making(session: Session, scene: Scene, body: Body): Make {
  const id = newId();
  const at = Date.now();
  const known = lastRead(session.show);
  return async (counters: Counters) => {
    const clock = tick(anchored(counters.clock), reading());
    const bare: RowcallEvent = {
      v: 1,
      id,
      show: session.show,
      ...scene,
      device: counters.device,
      n: counters.n,
      by: { id: session.id, name: session.name, role: session.role },
      at,
      hlc: hlcText(clock, counters.device),
      body,
      ...(known === null ? {} : { after: known }),
    };
    return { event: await signed(bare, session.device_key), clock };
  };
}

/** The key of this phone as the browser holds it: it is imported once, not with every scan. */
let taken: { key: string; made: Promise<CryptoKey> } | null = null;

function keyOf(subtle: SubtleCrypto, key: string): Promise<CryptoKey> {
  const hmac = { name: "HMAC", hash: "SHA-256" };
  if (taken?.key !== key)
    taken = { key, made: subtle.importKey("raw", fromBase64(key), hmac, false, ["sign"]) };
  return taken.made;
}

/** HMAC-SHA-256 over the canonical form; without a secure context there is no `crypto.subtle`. */
async function signed(event: RowcallEvent, key: string | null): Promise<RowcallEvent> {
  // absent outside a secure context, whatever the type says
  const subtle = crypto.subtle as SubtleCrypto | undefined;
  if (!subtle || !key) return event;
  const made = await keyOf(subtle, key);
  const text = new TextEncoder().encode(canonical(event));
  return { ...event, sig: toBase64(new Uint8Array(await subtle.sign("HMAC", made, text))) };
}

function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
}

function toBase64(bytes: Uint8Array): string {
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
}
