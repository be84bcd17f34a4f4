/** Sums over cases: how many, how heavy, and the floor that they cover standing upright. */
import type { FleetCase } from "./api-types";

export interface Sums {
  count: number;
  mass_g: number;
  /** Footprints added up, in square millimetres; nothing is stacked. */
  floor_mm2: number;
  unweighed: number;
}

export function sumsOf(many: readonly FleetCase[]): Sums {
  const sums = { count: many.length, mass_g: 0, floor_mm2: 0, unweighed: 0 };
  for (const each of many) {
    sums.mass_g += each.mass_g;
    sums.floor_mm2 += (each.length_um / 1000) * (each.width_um / 1000);
    if (each.mass_g === 0) sums.unweighed += 1;
  }
  return sums;
}

/** The same by department, in the order of their names. */
export function byDepartment(many: readonly FleetCase[]): (readonly [string, Sums])[] {
  const groups = new Map<string, FleetCase[]>();
  for (const each of many) {
    const group = groups.get(each.department);
    if (group) group.push(each);
    else groups.set(each.department, [each]);
  }
  return [...groups]
    .sort(([one], [other]) => one.localeCompare(other))
    .map(([department, group]) => [department, sumsOf(group)] as const);
}
