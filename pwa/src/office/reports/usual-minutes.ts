/** What a move of a vehicle usually takes: the nights of the report put together. */

interface Timed {
  move: string;
  vehicle: string;
  minutes: number;
  cases: number;
}
export interface Usual {
  move: string;
  vehicle: string;
  nights: number;
  least: number;
  middle: number;
  most: number;
  /** Cases an hour over all of these nights. */
  pace: number;
}

/** By vehicle and move, the most frequent first; a leg without minutes tells nothing. */
export function usual(legs: readonly Timed[]): Usual[] {
  const groups = new Map<string, Timed[]>();
  for (const leg of legs) {
    if (leg.minutes <= 0) continue;
    const key = `${leg.vehicle}\n${leg.move}`;
    groups.set(key, [...(groups.get(key) ?? []), leg]);
  }
  return [...groups.values()]
    .map((group) => {
      const minutes = group.map((leg) => leg.minutes).sort((one, other) => one - other);
      const [half, all] = [Math.floor(minutes.length / 2), minutes.length];
      const upper = minutes[half] ?? 0;
      const middle = all % 2 ? upper : ((minutes[half - 1] ?? 0) + upper) / 2;
      const sum = minutes.reduce((one, other) => one + other, 0);
      const cases = group.reduce((count, leg) => count + leg.cases, 0);
      return {
        move: group[0]?.move ?? "",
        vehicle: group[0]?.vehicle ?? "",
        nights: all,
        least: minutes[0] ?? 0,
        middle,
        most: minutes[all - 1] ?? 0,
        pace: Math.round((cases * 60) / sum),
      };
    })
    .sort((one, other) => other.nights - one.nights || one.vehicle.localeCompare(other.vehicle));
}
