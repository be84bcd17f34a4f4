/**
 * Ids and order made on the phone: UUIDv7 (RFC 9562, 5.7) and a hybrid logical clock.
 *
 * Hybrid logical clocks: Kulkarni, Demirbas, Madeppa, Avva, Leone, "Logical Physical Clocks",
 * OPODIS 2014 (LNCS 8878). Bounds on drift, so that a phone a day ahead does no harm:
 * - the phone's time is its wall clock moved by what the server's clock says at every contact;
 * - between contacts a leap of the wall clock is followed no further than MAX_DRIFT beyond the
 *   steady clock (the one that only counts elapsed time), if the caller has one;
 * - a reading of another phone more than MAX_DRIFT ahead of ours does not move our clock. Its event
 *   is taken all the same.
 * Without the server a clock never goes back.
 */
export const MAX_DRIFT_MS = 60_000;
const MOST_COUNT = 99_999;

/** Kept on the phone between starts; `anchor` is not: steady time begins anew with each start. */
export interface Clock {
  ms: number;
  count: number;
  /** Server's clock minus ours, milliseconds. */
  offset: number;
  anchor: { true_ms: number; steady: number } | null;
}

export const NEW_CLOCK: Clock = { ms: 0, count: 0, offset: 0, anchor: null };

/** Time as read once by the caller: wall clock, and milliseconds that only ever grow if it has them. */
export interface Reading {
  wall: number;
  steady?: number;
}

/**
 * Learn the server's time from an answer; a clock that is far ahead of it goes back to it.
 *
 * It may have been ahead itself, or the server's. The order of a phone's own facts is that of their
 * numbers, and what it has read comes before what it says: see order.ts.
 */
export function heardServer(clock: Clock, server_ms: number, { wall, steady }: Reading): Clock {
  const anchor = steady === undefined ? null : { true_ms: server_ms, steady };
  const ahead = clock.ms > server_ms + MAX_DRIFT_MS;
  const heard = ahead ? { ms: server_ms, count: 0 } : { ms: clock.ms, count: clock.count };
  return { ...heard, offset: server_ms - wall, anchor };
}

/** The time we believe. */
function trueMs(clock: Clock, { wall, steady }: Reading): number {
  const by_wall = Math.max(0, Math.floor(wall + clock.offset));
  if (clock.anchor === null || steady === undefined) return by_wall;
  const elapsed = Math.floor(steady - clock.anchor.steady);
  return Math.min(by_wall, clock.anchor.true_ms + elapsed + MAX_DRIFT_MS);
}

/** The next reading for an event of our own. */
export function tick(clock: Clock, reading: Reading): Clock {
  return advance(clock, trueMs(clock, reading), null);
}

/** Take note of another phone's reading, so that what we say next comes after it. */
export function receive(clock: Clock, hlc: string, reading: Reading): Clock {
  const now = trueMs(clock, reading);
  const ms = Number(hlc.slice(0, 13));
  const count = Number(hlc.slice(14, 19));
  if (!Number.isSafeInteger(ms) || !Number.isSafeInteger(count)) return clock;
  if (ms > now + MAX_DRIFT_MS) return clock;
  return advance(clock, now, { ms, count });
}

/** Take note of many readings; one step for the latest that counts is enough. */
export function receiveAll(clock: Clock, heard: readonly string[], reading: Reading): Clock {
  const most = trueMs(clock, reading) + MAX_DRIFT_MS;
  const near = heard.filter((hlc) => Number(hlc.slice(0, 13)) <= most);
  if (near.length === 0) return clock;
  return receive(
    clock,
    near.reduce((a, b) => (a > b ? a : b)),
    reading,
  );
}

function advance(clock: Clock, now: number, other: { ms: number; count: number } | null): Clock {
  const ms = Math.max(clock.ms, now, other?.ms ?? 0);
  const counts = [-1];
  if (ms === clock.ms) counts.push(clock.count);
  if (other !== null && ms === other.ms) counts.push(other.count);
  const count = Math.max(...counts) + 1;
  return count > MOST_COUNT ? { ...clock, ms: ms + 1, count: 0 } : { ...clock, ms, count };
}

/** `0001764000000-00003-phone`: sorts as text in the order of facts. */
export function hlcText({ ms, count }: Clock, device: string): string {
  return `${String(ms).padStart(13, "0")}-${String(count).padStart(5, "0")}-${device}`;
}

/** UUIDv7 of a time in milliseconds and ten random bytes. */
export function uuid7(ms: number, random: Uint8Array): string {
  if (random.length < 10) throw new Error(`uuid7: expected 10 random bytes, got ${random.length}`);
  const hex = [...random.slice(0, 10)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const time = Math.floor(ms).toString(16).padStart(12, "0");
  const variant = (8 + (Number.parseInt(hex.slice(3, 4), 16) & 3)).toString(16);
  return [
    time.slice(0, 8),
    time.slice(8, 12),
    `7${hex.slice(0, 3)}`,
    `${variant}${hex.slice(4, 7)}`,
    hex.slice(7, 19),
  ].join("-");
}
