/**
 * When the load has to be looked at again, 49 CFR 392.9(b)(2) and (3): within the first 50 miles,
 * then at a change of duty, after 3 hours or after 150 miles, whichever comes first.
 *
 * A phone knows no miles: for the first look it counts 45 minutes, in which 50 miles cannot lawfully
 * be passed on most roads (50 miles in 45 minutes is 67 mph; common practice, no source).
 */
import { signal } from "@preact/signals";

const FIRST_LOOK_MS = 45 * 60_000;
const NEXT_LOOK_MS = 3 * 3_600_000;

const KEY = "rowcall.looked";
const all = signal<Readonly<Record<string, readonly number[]>>>(read());

export const lookAgain = (release: string): readonly number[] => all.value[release] ?? [];

/** The load was looked at: counted on this phone, for the driver's clock. */
export function looked(release: string, at: number): void {
  all.value = { ...all.value, [release]: [...lookAgain(release), at] };
  try {
    localStorage.setItem(KEY, JSON.stringify(all.value));
  } catch {
    // without storage the clock still runs until the page closes
  }
}

export function nextLook(release: string, released_at: number): { at: number; first: boolean } {
  const last = lookAgain(release).at(-1);
  if (last === undefined) return { at: released_at + FIRST_LOOK_MS, first: true };
  return { at: last + NEXT_LOOK_MS, first: false };
}

function read(): Record<string, number[]> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return typeof kept === "object" && kept !== null ? (kept as Record<string, number[]>) : {};
  } catch {
    return {};
  }
}
