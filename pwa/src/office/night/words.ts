/** Times and names as the night's page says them. */
import type { Bundle } from "../../core/bundle";
import type { Close } from "../../core/pace";

const CLOCK = { hour: "2-digit", minute: "2-digit" } as const;

export const clockOf = (ms: number | null): string =>
  ms === null ? "–" : new Date(ms).toLocaleTimeString("en-GB", CLOCK);

/** The expected time with its range, in whole minutes. */
export const rangeOf = (close: Close): string =>
  `expected ${clockOf(close.at)} (${clockOf(close.from)} to ${clockOf(close.to)})`;

export const nameOf = (bundle: Bundle, code: string): string => bundle.cases[code]?.name ?? "";

export function ago(ms: number, now: number): string {
  const seconds = Math.max(0, Math.round((now - ms) / 1000));
  if (seconds < 90) return `${seconds} s ago`;
  const minutes = Math.round(seconds / 60);
  return minutes < 90 ? `${minutes} min ago` : `${Math.round(minutes / 60)} h ago`;
}
