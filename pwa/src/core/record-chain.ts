/**
 * The record: a chain of digests over events in the order of facts.
 *
 * Each digest is SHA-256 (FIPS 180-4) over the digest before it, a line feed and the event as
 * canonical JSON (RFC 8785 for what events hold: text, whole numbers, true, false, null). The head
 * is what a chief signs; `covers` says which events the phone knew when it was signed.
 */
import { canonical } from "./canonical";
import { before, type RowcallEvent } from "./events";
import { record } from "./marks";
import { gaps } from "./running-numbers";
import { sha256 } from "./sha256";

/** Device → its highest running number, then the ranges [first, last] below it not known. */
export type Covers = Record<string, (number | [number, number])[]>;

export function start(show: string): string {
  return sha256(`rowcall-record-1\n${show}`);
}

export function link(digest: string, event: RowcallEvent): string {
  return sha256(`${digest}\n${canonical(event)}`);
}

/** Digest after each event, in the order of facts. */
export function chain(show: string, events: readonly RowcallEvent[]): string[] {
  let digest = start(show);
  return [...events].sort(before).map((event) => (digest = link(digest, event)));
}

export function head(show: string, events: readonly RowcallEvent[]): string {
  return chain(show, events).at(-1) ?? start(show);
}

export function covers(events: readonly RowcallEvent[]): Covers {
  const numbers = new Map<string, number[]>();
  for (const { device, n } of events) {
    const held = numbers.get(device);
    if (held === undefined) numbers.set(device, [n]);
    else held.push(n);
  }
  const found: Covers = record();
  for (const device of [...numbers.keys()].sort()) {
    const held = numbers.get(device) ?? [];
    const last = held.reduce((a, b) => Math.max(a, b), 0);
    found[device] = [last, ...gaps(held, last)];
  }
  return found;
}

/** Single numbers among the ranges are those of earlier versions. */
export function covered(events: readonly RowcallEvent[], known: Covers): RowcallEvent[] {
  return events.filter(({ device, n }) => {
    const [last, ...missing] = (Object.hasOwn(known, device) ? known[device] : undefined) ?? [0];
    const misses = missing.some((one) =>
      typeof one === "number" ? one === n : one[0] <= n && n <= one[1],
    );
    return typeof last === "number" && n <= last && !misses;
  });
}

/** Index of the first event that does not fit its digest; null: the record is unchanged. */
export function firstChange(
  show: string,
  events: readonly RowcallEvent[],
  digests: readonly string[],
): number | null {
  let digest = start(show);
  const length = Math.max(events.length, digests.length);
  for (let index = 0; index < length; index++) {
    const event = events[index];
    if (event === undefined || link(digest, event) !== digests[index]) return index;
    digest = digests[index] ?? "";
  }
  return null;
}
