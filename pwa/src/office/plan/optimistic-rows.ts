/** Lines and sums of a row that was changed by hand, as `server/core/editing.py` has them. */
import type { PlaceSheet, RowSheet, Stance, VehicleSheet } from "../../core/bundle";

export interface Sides {
  length_um: number;
  width_um: number;
  height_um: number;
  mass_g: number;
  stances: readonly Stance[];
}

export interface Narrow {
  from_um: number;
  to_um: number;
  width_um: number;
}

export interface OpenRow {
  row: RowSheet | null;
  places: PlaceSheet[];
  start: number;
  touched: boolean;
}

/** Across, along and up, as `Case.standing` says. */
export function standing(one: Sides, stance: Stance, turned: boolean): [number, number, number] {
  const [first, second, up] = {
    upright: [one.length_um, one.width_um, one.height_um],
    on_end: [one.width_um, one.height_um, one.length_um],
    on_side: [one.length_um, one.height_um, one.width_um],
  }[stance] as [number, number, number];
  return turned ? [first, second, up] : [second, first, up];
}

/** An x that sorts a case as number `at` among the floor cases of a row. */
export function before(row: OpenRow, at: number): number {
  const floor = row.places
    .filter((place) => place.on.length === 0)
    .map((place) => place.x)
    .sort((one, other) => one - other);
  if (at <= 0 || floor.length === 0) return (floor[0] ?? 0) - 1;
  const there = floor[at];
  return there === undefined ? (floor.at(-1) ?? 0) + 1 : there - 1;
}

/** Where a case on these lids begins: beside what rides there already, if any. */
export function beside(
  row: OpenRow,
  lids: readonly PlaceSheet[],
): { x: number; y: number; z: number } {
  const left = Math.min(...lids.map((lid) => lid.x));
  const names = new Set(lids.map((lid) => lid.code));
  const there = row.places.filter((place) => place.on.some((under) => names.has(under)));
  const right = Math.max(left, ...there.map((place) => place.x + place.dx));
  const room = Math.max(...lids.map((lid) => lid.x + lid.dx));
  return {
    x: right < room ? right : left,
    y: Math.min(...lids.map((lid) => lid.y)),
    z: Math.max(...lids.map((lid) => lid.z + lid.dz)),
  };
}

function freeWidth(wide: number, narrow: readonly Narrow[], start: number, depth: number): number {
  const touched = narrow.filter((each) => start < each.to_um && start + depth > each.from_um);
  return Math.min(wide, ...touched.map((each) => each.width_um));
}

/** The least width that a row leaves free, over every cross-section of its depth: a narrow stretch
 * binds only the cases that stand beside it, as `server/core/securing/slack.py` has it. */
export function rowSlack(
  wide: number,
  narrow: readonly Narrow[],
  start: number,
  floor: readonly PlaceSheet[],
): number {
  const end = start + Math.max(0, ...floor.map((place) => place.dy));
  const edges = [
    start,
    ...floor.map((place) => place.y + place.dy),
    ...narrow.flatMap((each) => [each.from_um, each.to_um]),
  ].filter((edge) => edge >= start && edge <= end);
  const ends = [...new Set(edges)].sort((one, other) => one - other);
  const left = ends.slice(1).map((far, index) => {
    const near = ends[index] ?? start;
    const there = floor.filter((place) => place.y + place.dy >= far);
    return (
      freeWidth(wide, narrow, near, far - near) - there.reduce((sum, place) => sum + place.dx, 0)
    );
  });
  return Math.min(...left, ...(left.length === 0 ? [wide] : []));
}

/** The places of a row that begins at `start`; a touched row is pushed together. */
export function settled(
  sheet: VehicleSheet,
  row: OpenRow,
  start: number,
  narrow: readonly Narrow[],
): PlaceSheet[] {
  if (!row.touched)
    return start === row.start
      ? row.places
      : row.places.map((place) => ({ ...place, y: place.y + start - row.start }));
  const floor = row.places
    .filter((place) => place.on.length === 0)
    .sort((one, other) => one.x - other.x);
  const depth = Math.max(0, ...floor.map((place) => place.dy));
  let x = Math.floor((sheet.width_um - freeWidth(sheet.width_um, narrow, start, depth)) / 2);
  const was = new Map(row.places.map((place) => [place.code, place]));
  const moved = new Map<string, PlaceSheet>();
  for (const place of floor) {
    moved.set(place.code, { ...place, x, y: start, z: 0 });
    x += place.dx;
  }
  const riders = row.places.filter((place) => place.on.length > 0);
  for (const place of riders.sort((one, other) => one.z - other.z)) {
    const under = place.on.flatMap((code) => moved.get(code) ?? []);
    const first = under.reduce<PlaceSheet | null>(
      (best, each) => (best === null || each.x < best.x ? each : best),
      null,
    );
    const old = first && was.get(first.code);
    if (!first || !old) moved.set(place.code, place);
    else
      moved.set(place.code, {
        ...place,
        x: place.x + first.x - old.x,
        y: place.y + first.y - old.y,
        z: Math.max(...under.map((each) => each.z + each.dz)),
      });
  }
  return [...moved.values()];
}
