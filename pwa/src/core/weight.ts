/** Mass and axle loads of what is really on board, by moments, in whole grams. */
import type { AxleSheet, Bundle } from "./bundle";
import type { Sheets } from "./sheets";
import type { Added, AxleState } from "./state";

/** Mass of a case: by its card, else as said when it was added; 0 where nobody knows. */
export function massOf(bundle: Bundle, added: Record<string, Added>, code: string): number {
  const card = Object.hasOwn(bundle.cases, code) ? bundle.cases[code] : undefined;
  return card?.mass_g ?? (Object.hasOwn(added, code) ? added[code]?.mass_g : null) ?? 0;
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
 * without a row at the door end of the floor used, which is where a late case goes.
 */
export function axleLoads(
  axles: AxleSheet,
  sheets: Sheets,
  vehicle: string,
  row_of: Record<string, number | null>,
  mass: (code: string) => number,
): AxleState {
  let total = 0n;
  let moment = 0n;
  const assumed: string[] = [];
  const atDoor = 2 * (sheets.vehicles.get(vehicle)?.floor_length_um ?? 0);
  for (const [code, row] of Object.entries(row_of)) {
    const twice = twiceMiddle(sheets, vehicle, code, row);
    if (twice === null) assumed.push(code);
    const grams = BigInt(mass(code));
    total += grams;
    moment += grams * BigInt((twice ?? atDoor) - 2 * axles.front_at_um);
  }
  const rear = nearest(moment, BigInt(2 * (axles.rear_at_um - axles.front_at_um)));
  const front_g = Number(total - rear) + axles.empty_front_g;
  const rear_g = Number(rear) + axles.empty_rear_g;
  const gross_g = front_g + rear_g;
  const share = gross_g !== 0 ? front_g / gross_g : null;
  return { front_g, rear_g, gross_g, share, assumed: assumed.sort() };
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
