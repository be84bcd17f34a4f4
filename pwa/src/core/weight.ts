/** Mass and axle loads of what is really on board, by moments, in whole grams. */
import type { AxleSheet, Bundle } from "./bundle";
import type { Sheets } from "./sheets";
import type { Added, AxleState, Weighed } from "./state";

/** What a late case counts of which neither mass nor sides were said (server/core/night/weight.py). */
const UNKNOWN_LATE_G = 453_592;
const DENSEST_KG_M3 = 500n;

/** What a case weighs, at least and at most; `known`: weighed, stated, or the chief answers. */
export interface Mass {
  low: number;
  high: number;
  known: boolean;
}

/** By the scale or the chief's guess, by the card, as said when it was added, or assumed by size. */
export class Masses {
  constructor(
    private readonly bundle: Bundle,
    private readonly added: Record<string, Added>,
    private readonly weighed: Record<string, Weighed>,
  ) {}

  of(code: string): Mass {
    const scale = own(this.weighed, code);
    if (scale) return exactly(scale.mass_g);
    const card = own(this.bundle.cases, code);
    const late = own(this.added, code);
    const stated = card ? card.mass_g : (late?.mass_g ?? 0);
    if (stated) return exactly(stated);
    const most = card ? (card.most_g ?? 0) : mostOfLate(late);
    return { low: 0, high: most || UNKNOWN_LATE_G, known: false };
  }

  worst_g(code: string): number {
    return this.of(code).high;
  }
}

const own = <T>(held: Record<string, T>, code: string): T | undefined =>
  Object.hasOwn(held, code) ? held[code] : undefined;

const exactly = (grams: number): Mass => ({ low: grams, high: grams, known: true });

/** A packed case weighs no more for its outside volume (server/core/shop/case_mass.py). */
function mostOfLate(late: Added | undefined): number {
  if (!late?.length_um || !late.width_um || !late.height_um) return 0;
  const um3 = BigInt(late.length_um) * BigInt(late.width_um) * BigInt(late.height_um);
  return Number((um3 * DENSEST_KG_M3 + 10n ** 15n - 1n) / 10n ** 15n);
}

/** What a strap of unknown limit counts, and a gram a case of rounding (securing/straps.py). */
const UNKNOWN_WLL_G = 226_796;
const ROUNDING_G = 25;

/** Straps that half of what stands in a row asks; none for an empty row. */
export function strapsNow(mass_g: number, wll_g: number | null): number {
  const half = Math.max(0, mass_g / 2 - ROUNDING_G);
  return Math.ceil(half / ((wll_g ?? UNKNOWN_WLL_G) + 1));
}

/** What rounding may blur of a share (server/core/base/units.py). */
export const SHARE_BLUR = 1e-6;

/** Front share of the mass on the ground by house rule (server/core/shop/vehicle.py). */
const LEAST_SHARE = { truck: 0.2, kingpin: null, ball: 0.1 } as const;
const MOST_SHARE = { truck: null, kingpin: null, ball: 0.15 } as const;

/** Least share of the mass on the ground that the front support carries, stated or by house rule. */
export function leastShare(axles: AxleSheet): number | null {
  return axles.share_min ?? LEAST_SHARE[axles.kind];
}

export function mostShare(axles: AxleSheet): number | null {
  return axles.share_max ?? MOST_SHARE[axles.kind];
}

/** Sums of rounded masses keep a limit with half a gram a part to spare (core/units.py). */
export function within(total_g: number, limit_g: number | null, parts: number): boolean {
  return limit_g === null || total_g <= limit_g + Math.floor((parts + 1) / 2) + 1;
}

/** Divide whole numbers, to the nearest, half to even; `by` above zero. */
export function nearest(value: bigint, by: bigint): bigint {
  let whole = value / by;
  let rest = value % by;
  if (rest < 0n) {
    whole -= 1n;
    rest += by;
  }
  const twice = rest * 2n;
  return twice > by || (twice === by && whole % 2n !== 0n) ? whole + 1n : whole;
}

/**
 * What each support carries with the empty vehicle: moments about the front one (mechanics).
 *
 * A case stands in the middle of its planned place; in another row, in the middle of that row; one
 * without a row at the door end of the floor used, which is where a late case goes. A mass that is
 * not known counts at the end that loads a support most, and at the other for what lifts it.
 */
export function axleLoads(
  axles: AxleSheet,
  sheets: Sheets,
  vehicle: string,
  row_of: Record<string, number | null>,
  masses: Masses,
): AxleState {
  const assumed: string[] = [];
  const atDoor = 2 * (sheets.vehicles.get(vehicle)?.floor_length_um ?? 0);
  const spots: Spot[] = Object.entries(row_of).map(([code, row]) => {
    const twice = twiceMiddle(sheets, vehicle, code, row);
    if (twice === null) assumed.push(code);
    return { mass: masses.of(code), twice: twice ?? atDoor };
  });
  const front_g = support(spots, axles, "front", true);
  const least_front_g = support(spots, axles, "front", false);
  const rear_g = support(spots, axles, "rear", true);
  const least_rear_g = support(spots, axles, "rear", false);
  const load = spots.reduce((sum, { mass }) => sum + mass.high, 0);
  return {
    front_g,
    rear_g,
    gross_g: axles.empty_front_g + axles.empty_rear_g + load,
    share: shareOf(least_front_g, rear_g),
    assumed: assumed.sort(),
    least_front_g,
    least_rear_g,
    most_share: shareOf(front_g, least_rear_g),
  };
}

interface Spot {
  mass: Mass;
  twice: number;
}

const shareOf = (front: number, rear: number): number | null =>
  front + rear !== 0 ? front / (front + rear) : null;

/** One support with every mass at the end that loads it most, or least. */
function support(spots: Spot[], axles: AxleSheet, end: "front" | "rear", most: boolean): number {
  let total = 0n;
  let moment = 0n;
  for (const { mass, twice } of spots) {
    const presses = end === "front" ? twice < 2 * axles.rear_at_um : twice > 2 * axles.front_at_um;
    const grams = BigInt(presses === most ? mass.high : mass.low);
    total += grams;
    moment += grams * BigInt(twice - 2 * axles.front_at_um);
  }
  const rear = nearest(moment, BigInt(2 * (axles.rear_at_um - axles.front_at_um)));
  return end === "front"
    ? Number(total - rear) + axles.empty_front_g
    : Number(rear) + axles.empty_rear_g;
}

/** Twice the distance of a case's middle from the bulkhead, so that it stays whole. */
function twiceMiddle(
  sheets: Sheets,
  vehicle: string,
  code: string,
  row: number | null,
): number | null {
  if (row === null) return null;
  const planned = sheets.planned(vehicle, code);
  if (planned !== null && planned.row.number === row) return 2 * planned.place.y + planned.place.dy;
  const sheet = sheets.vehicles.get(vehicle)?.rows.find((one) => one.number === row);
  return sheet === undefined ? null : 2 * sheet.start_um + sheet.depth_um;
}
