/**
 * When the last case of a leg will be done: at the pace of the latest cases, with a range.
 *
 * Model: times between cases are independent and exponential. A crew is steadier than that, so the
 * range is on the wide side. With n cases to come, k seen in T ms, the ratio of the two mean times
 * follows F with 2n and 2k degrees of freedom (a ratio of two gamma sums, each over its count), so
 * the range needs no guess of the true pace. Time since the last case counts in T: where the work
 * stands still the expected time moves away.
 */

/** Cases looked back on: the pace of now, not that of the first hour. */
const WINDOW = 24;
/** Fewer say nothing of a pace. */
export const LEAST = 4;

export interface Close {
  /** Cases an hour, over the latest. */
  pace: number;
  /** Expected time of the last case, ms since 1970. */
  at: number;
  /** Four of five times it lies between these, by the model. */
  from: number;
  to: number;
}

/** `times`: when each case was done; `open`: how many are to come. Null: nothing can be said. */
export function closing(times: readonly number[], open: number, now: number): Close | null {
  const latest = [...times].sort((one, other) => one - other).slice(-WINDOW - 1);
  const [first] = latest;
  const seen = latest.length - 1;
  if (first === undefined || seen < LEAST || open < 1) return null;
  const took = Math.max(now, latest[seen] ?? now) - first;
  if (took <= 0) return null;
  const each = took / seen;
  const left = (share: 0.1 | 0.9) => open * each * fQuantile(share, 2 * open, 2 * seen);
  return {
    pace: 3_600_000 / each,
    at: now + open * each,
    from: now + left(0.1),
    to: now + left(0.9),
  };
}

/** Quantiles of the standard normal distribution, at 10 and 90 of 100. */
const NORMAL = { 0.1: -1.2815515655446004, 0.9: 1.2815515655446004 } as const;

/**
 * Quantile of the F distribution with even degrees of freedom, by the cube root approximation
 * (E. Paulson, Annals of Mathematical Statistics 13 (1942), 233-235, on Wilson and Hilferty 1931):
 * within 1 % of the exact value from 4 upper degrees of freedom on, within 7 % with 2.
 */
export function fQuantile(share: 0.1 | 0.9, upper: number, lower: number): number {
  const z = NORMAL[share];
  const a = 2 / (9 * upper);
  const b = 2 / (9 * lower);
  // (1 - b) w - (1 - a) = z sqrt(b w² + a), solved for w, the cube root of the quantile.
  const p = (1 - b) ** 2 - z * z * b;
  const q = (1 - a) * (1 - b);
  const r = (1 - a) ** 2 - z * z * a;
  const root = Math.sqrt(Math.max(0, q * q - p * r));
  return ((q + Math.sign(z) * root) / p) ** 3;
}
