/**
 * People for one case on a ramp as it is now: the server's rule (server/core/handling/push.py and
 * ramp.py), line by line, so that wet, ice and a ramp measured at the venue need no network.
 * fixtures/handling/crossings.json holds both to the same numbers.
 */

import type { Floor } from "./events";

export type Surface = "dry" | "wet" | "ice";
type Strength = "men" | "mixed";

/** Rolling force as a share of the load (server/core/handling/rolling.py). */
const ROLLING: Readonly<Record<Floor, number>> = { good: 0.02, rough: 0.1, soft: 0.2 };
const GRIP: Readonly<Record<Surface, number>> = { dry: 0.6, wet: 0.4, ice: 0.1 };
/** HSE push-pull assessment: kilograms of force to start and to keep going. */
const LIMITS: Readonly<Record<Strength, readonly [number, number]>> = {
  men: [20, 10],
  mixed: [15, 7],
};
/** House rule: up to this mass in grams so many people (100, 250, 450, 650 lb). */
const STEPS: readonly (readonly [number, number])[] = [
  [45_359, 1],
  [113_398, 2],
  [204_117, 3],
  [294_835, 4],
];
const HOUSE_MOST = 4;
const MOST_AT_ONE_CASE = 6;
const BODY_KG = 70;
const PERSON_G = 85_000;
/** What a ramp counts as that is no longer than its deck is high. */
const STEEPEST = 0.9999;

export interface Way {
  /** Rise and length along the slope in one unit; rise 0: level. */
  rise: number;
  length: number;
  floor: Floor;
  surface: Surface;
  hands: Strength;
  rating_g: number | null;
  /** Rating of the lift gate of a vehicle without a ramp. */
  gate_g?: number | null;
}

interface Crossing {
  /** On the case, spotter not counted; null: no number of people will do. */
  people: number | null;
  spotters: number;
  may_go: boolean;
}

const sineOf = ({ rise, length }: Way): number =>
  rise <= 0 ? 0 : rise >= length ? STEEPEST : rise / length;

/** People to push a case; null where feet hold nothing, or nobody knows its mass. */
function pushers(mass_g: number, way: Way): number | null {
  if (mass_g <= 0) return null;
  const sine = sineOf(way);
  const cosine = Math.sqrt(1 - sine * sine);
  const force = (mass_g / 1000) * (sine + ROLLING[way.floor] * cosine);
  const grip = Math.max(0, BODY_KG * (GRIP[way.surface] * cosine - sine));
  if (grip < 1) return null;
  const slippery = way.surface !== "dry";
  const each = LIMITS[way.hands].map((limit) => (slippery ? Math.min(limit, grip) : limit));
  const hse = each.map((limit) => Math.max(1, Math.ceil(force / limit - 1e-9)));
  return Math.max(house(mass_g, sine, cosine, slippery), ...hse);
}

function house(mass_g: number, sine: number, cosine: number, slippery: boolean): number {
  const run = sine > 0 ? cosine / sine : Infinity;
  const step = STEPS.find(([most]) => mass_g <= most);
  const steep = run < 4 - 1e-9 ? 2 : run < 12 - 1e-9 ? 1 : 0;
  return (step ? step[1] : HOUSE_MOST) + steep + (slippery && sine > 0 ? 1 : 0);
}

/** How a case is handled in its place besides: people who lift or tip it, and where none will do. */
interface Handled {
  lift: number;
  cards: readonly { key: string }[];
  /** Absent in bundles of an older server: the lift is then as planned. */
  lift_limits?: readonly number[];
}

/** People who lift or tip a case of this mass; null: no team does. */
export function lifters(mass_g: number, { lift, cards, lift_limits }: Handled): number | null {
  if (!lift_limits) return cards.some(({ key }) => /^(lift|tip)_machine$/.test(key)) ? null : lift;
  if (lift_limits.length === 0) return 0;
  const team = lift_limits.findIndex((most) => mass_g <= most);
  return team < 0 ? null : team + 1;
}

/**
 * Everybody whom a case takes as it is now, the spotter among them; null: not by hand. Who pushes
 * and who lifts is counted anew by the mass; a case too large for the lift gate stays so.
 */
export function crew(mass_g: number, way: Way, handled: Handled): number | null {
  const over = way.gate_g != null && mass_g + PERSON_G > way.gate_g;
  if (over || handled.cards.some(({ key }) => key === "gate_machine")) return null;
  const { people, spotters, may_go } = crossing(mass_g, way);
  const lift = lifters(mass_g, handled);
  return people === null || lift === null || !may_go ? null : Math.max(people, lift) + spotters;
}

/** Whether a case may go this way: enough room for hands, a way that carries, feet that hold. */
export function crossing(mass_g: number, way: Way): Crossing {
  const sine = sineOf(way);
  const spotters = sine > 0 ? 1 : 0;
  const people = pushers(mass_g, way);
  if (people === null) return { people, spotters, may_go: false };
  const carried = mass_g + people * PERSON_G;
  const machine = sine > 0 && mass_g > (STEPS.at(-1)?.[0] ?? 0);
  const may_go =
    people <= MOST_AT_ONE_CASE && !machine && (way.rating_g === null || carried <= way.rating_g);
  return { people, spotters, may_go };
}
