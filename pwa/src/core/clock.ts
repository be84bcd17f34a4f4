/**
 * The show's hybrid logical clock: `MMMMMMMMMMMMM-CCCCC-device`, compared as plain text.
 *
 * What happened after something the phone knew of always reads later, whatever the phones' own
 * clocks say (Kulkarni, Demirbas, Madeppa, Avva, Leone: Logical Physical Clocks, 2014).
 */
const LAST_COUNTER = 99_999;
/** A reading further ahead than this is no clock error but a broken phone: it drags nobody along. */
export const MOST_AHEAD_MS = 48 * 3_600_000;

interface Reading {
  ms: number;
  counter: number;
}

export function parseHlc(hlc: string): Reading | null {
  const match = /^(\d{13})-(\d{5})-/.exec(hlc);
  return match ? { ms: Number(match[1]), counter: Number(match[2]) } : null;
}

export function formatHlc({ ms, counter }: Reading, device: string): string {
  return `${String(ms).padStart(13, "0")}-${String(counter).padStart(5, "0")}-${device}`;
}

/** The reading for an event made now, later than every reading seen before. */
export function nextHlc(last: string, now: number, device: string): string {
  const before = parseHlc(last);
  if (!before || now > before.ms) return formatHlc({ ms: Math.max(0, now), counter: 0 }, device);
  const full = before.counter >= LAST_COUNTER;
  const ms = full ? before.ms + 1 : before.ms;
  return formatHlc({ ms, counter: full ? 0 : before.counter + 1 }, device);
}

/** The later of what this phone had seen and what came in, unless that is absurdly far ahead. */
export function seenHlc(last: string, heard: string, now: number): string {
  const reading = parseHlc(heard);
  if (!reading || reading.ms > now + MOST_AHEAD_MS) return last;
  return heard > last ? heard : last;
}
