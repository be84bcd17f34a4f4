/** Back at the shop: what goes to which home, and what never came back. */
import type { Bundle } from "./bundle";
import type { House } from "./house";
import type { HomeList, Leg, State } from "./state";

export function putAway(
  bundle: Bundle,
  house: Pick<House, "damaged">,
  legs: Record<string, Leg>,
): HomeList[] {
  const homes = new Map<string, HomeList["cases"]>();
  for (const leg of Object.values(legs))
    for (const code of leg.due) {
      const card = Object.hasOwn(bundle.cases, code) ? bundle.cases[code] : undefined;
      const home = card?.home ?? "";
      const mark = leg.marks[code] ?? null;
      const one = {
        code,
        away: mark?.did === "off",
        damaged: isDamaged(bundle, house, code),
        mark,
      };
      homes.set(home, [...(homes.get(home) ?? []), one]);
    }
  return asWalked([...homes.keys()], bundle.homes ?? []).map((home) => ({
    home,
    cases: (homes.get(home) ?? []).sort((a, b) => (a.code < b.code ? -1 : 1)),
  }));
}

/** Homes in walking order: those that the owner named first, then A2 before A10. */
export function asWalked(homes: readonly string[], walked: readonly string[]): string[] {
  const place = new Map(walked.map((home, at) => [home, at]));
  const numbered = (home: string) => home.replace(/[0-9]+/g, (found) => found.padStart(12, "0"));
  const keys = homes.map((home) => ({
    home,
    at: place.get(home) ?? place.size,
    text: numbered(home),
  }));
  const less = (one: string, other: string) => (one < other ? -1 : one > other ? 1 : 0);
  return keys
    .sort((a, b) => a.at - b.at || less(a.text, b.text) || less(a.home, b.home))
    .map(({ home }) => home);
}

export function isDamaged(bundle: Bundle, house: Pick<House, "damaged">, code: string): boolean {
  const card = Object.hasOwn(bundle.cases, code) ? bundle.cases[code] : undefined;
  return Object.hasOwn(house.damaged, code) || (card !== undefined && card.state !== "good");
}

/** Due to come back, on no vehicle, and not swapped or sent on another one; or never arrived. */
export function notBack({ load_out, put_away }: State["legs"]): string[] {
  const codes = new Set<string>();
  for (const { not_on, on } of Object.values(load_out)) {
    if (on.length === 0) continue;
    for (const one of not_on)
      if (one.stands_on === null && one.status !== "swapped" && one.status !== "other_vehicle")
        codes.add(one.code);
  }
  for (const { excused } of Object.values(put_away))
    for (const [code, one] of Object.entries(excused))
      if (one.why === "never_came") codes.add(code);
  return [...codes].sort();
}
