/** Running numbers of one phone: what is missing is a range, its cost that of what is there. */

/** First and last number that are missing. */
export type Range = [number, number];

/** Numbers from 1 to `last` that are not there. */
export function gaps(numbers: readonly number[], last: number): Range[] {
  const missing: Range[] = [];
  let expected = 1;
  for (const n of numbers.filter((one) => one <= last).sort((a, b) => a - b)) {
    if (expected < n) missing.push([expected, n - 1]);
    expected = Math.max(expected, n + 1);
  }
  if (expected <= last) missing.push([expected, last]);
  return missing;
}

export function howMany(ranges: readonly Range[]): number {
  return ranges.reduce((sum, [first, last]) => sum + last - first + 1, 0);
}
