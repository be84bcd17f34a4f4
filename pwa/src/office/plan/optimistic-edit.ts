/**
 * One step done on the drawing at once, before the server has judged it: the same lines and sums as
 * `server/core/editing.py`, held together by `fixtures/editing/steps.json`. Straps and words are
 * the server's; null: this step is not done here, the server's answer is waited for.
 */
import type { PlaceSheet, RowSheet, VehicleSheet } from "../../core/bundle";
import type { Step } from "./draft";
import {
  before,
  beside,
  rowSlack,
  type Narrow,
  type OpenRow,
  settled,
  type Sides,
  standing,
} from "./optimistic-rows";

/** What the drawing must know beside the plan: the cases, and where a floor is narrow. */
export interface Known {
  case(code: string): Sides | undefined;
  narrow(vehicle: string): readonly Narrow[];
}

interface LocallyDone {
  sheets: VehicleSheet[];
  /** Cases that are in no row any more, and those that came into one. */
  out: string[];
  back: string[];
}

class NotHere extends Error {}

export function editedHere(
  sheets: readonly VehicleSheet[],
  step: Step,
  known: Known,
): LocallyDone | null {
  const desk = new Desk(sheets, known);
  try {
    desk.act(step);
    return { sheets: desk.finished(), out: desk.out, back: desk.back };
  } catch (error) {
    if (error instanceof NotHere) return null;
    throw error;
  }
}

class Desk {
  readonly out: string[] = [];
  readonly back: string[] = [];
  private readonly rows = new Map<string, OpenRow[]>();

  constructor(
    private readonly sheets: readonly VehicleSheet[],
    private readonly known: Known,
  ) {
    for (const sheet of sheets)
      this.rows.set(
        sheet.id,
        sheet.rows.map((row) => ({
          row,
          places: [...row.places],
          start: row.start_um,
          touched: false,
        })),
      );
  }

  act(step: Step): void {
    if (step.do === "move") this.move(step);
    else if (step.do === "row") this.row(step);
    else if (step.do === "turn") this.turn(step);
    else for (const place of this.take(step.code ?? "")) this.out.push(place.code);
    for (const [id, rows] of this.rows)
      this.rows.set(
        id,
        rows.filter((row) => row.places.length > 0),
      );
  }

  private of(vehicle: string | undefined): OpenRow[] {
    const rows = this.rows.get(vehicle ?? "");
    if (!rows) throw new NotHere();
    return rows;
  }

  private rowOf(code: string): OpenRow | null {
    for (const rows of this.rows.values())
      for (const row of rows) if (row.places.some((place) => place.code === code)) return row;
    return null;
  }

  private place(code: string): [OpenRow, PlaceSheet] {
    const row = this.rowOf(code);
    const place = row?.places.find((each) => each.code === code);
    if (!row || !place) throw new NotHere();
    return [row, place];
  }

  private move(step: Step): void {
    const code = step.code ?? "";
    const on = step.on ?? [];
    const rows = this.of(step.vehicle);
    const lids = on.map((lid) => this.place(lid)[1]);
    const target = this.target(rows, step, lids);
    const taken = this.take(code);
    const base = taken[0];
    if (!base || taken.some((place) => on.includes(place.code))) throw new NotHere();
    const spot = lids.length
      ? beside(target, lids)
      : { x: before(target, step.at ?? 0), y: target.start, z: 0 };
    const shift = [spot.x - base.x, spot.y - base.y, spot.z - base.z] as const;
    for (const [index, place] of taken.entries())
      target.places.push({
        ...place,
        x: place.x + shift[0],
        y: place.y + shift[1],
        z: place.z + shift[2],
        on: index === 0 ? [...on] : place.on,
      });
    target.touched = true;
  }

  private target(rows: OpenRow[], step: Step, lids: readonly PlaceSheet[]): OpenRow {
    const number = step.row ?? 0;
    const lid = lids[0];
    if (lid) {
      const found = rows.find((row) => row.places.includes(lid));
      if (!found) throw new NotHere();
      return found;
    }
    if (step.fresh || number === rows.length + 1) {
      const fresh: OpenRow = { row: null, places: [], start: 0, touched: true };
      rows.splice(Math.max(0, Math.min(number - 1, rows.length)), 0, fresh);
      return fresh;
    }
    const found = rows[number - 1];
    if (!found) throw new NotHere();
    return found;
  }

  private row(step: Step): void {
    const rows = this.of(step.vehicle);
    const target = this.of(step.to_vehicle || step.vehicle);
    const [row] = rows.splice((step.row ?? 0) - 1, 1);
    if (!row || (step.row ?? 0) < 1) throw new NotHere();
    row.touched ||= target !== rows;
    target.splice(Math.max(0, Math.min((step.at ?? 0) - 1, target.length)), 0, row);
  }

  private turn(step: Step): void {
    const [row, place] = this.place(step.code ?? "");
    const stance = step.stance ?? "upright";
    const turned = step.turned ?? false;
    const [dx, dy, dz] = standing(this.sides(place.code), stance, turned);
    row.places[row.places.indexOf(place)] = { ...place, dx, dy, dz, stance, turned };
    row.touched = true;
  }

  private sides(code: string): Sides {
    const found = this.known.case(code);
    if (!found) throw new NotHere();
    return found;
  }

  /** Take a case out with all that stands on it alone; what bridged away from it falls. */
  private take(code: string): PlaceSheet[] {
    const row = this.rowOf(code);
    if (!row) {
      this.back.push(code);
      return [this.fresh(code)];
    }
    const [, base] = this.place(code);
    const taken = [base];
    const names = new Set([code]);
    for (const place of [...row.places].sort((one, other) => one.z - other.z)) {
      if (place === base || !place.on.some((under) => names.has(under))) continue;
      if (place.on.every((under) => names.has(under))) {
        taken.push(place);
        names.add(place.code);
      } else this.fall(row, place);
    }
    row.places = row.places.filter((place) => !taken.includes(place));
    row.touched = true;
    return taken;
  }

  private fresh(code: string): PlaceSheet {
    const sides = this.sides(code);
    const stance = sides.stances[0] ?? "upright";
    const [dx, dy, dz] = standing(sides, stance, false);
    const at = { x: 0, y: 0, z: 0, dx, dy, dz, stance, turned: false };
    return { code, ...at, on: [], side: "full", push: 0, lift: 0, cards: [] };
  }

  private fall(row: OpenRow, place: PlaceSheet): void {
    row.places = row.places.filter((each) => each !== place);
    this.out.push(place.code);
    for (const above of row.places.filter((each) => each.on.includes(place.code)))
      this.fall(row, above);
  }

  finished(): VehicleSheet[] {
    return this.sheets
      .map((sheet) => this.sheet(sheet, this.of(sheet.id)))
      .filter((sheet) => sheet.rows.length > 0);
  }

  private sheet(sheet: VehicleSheet, open: readonly OpenRow[]): VehicleSheet {
    const same = open.length === sheet.rows.length;
    if (same && open.every((row, at) => !row.touched && row.row === sheet.rows[at])) return sheet;
    const rows: RowSheet[] = [];
    let start = 0;
    for (const row of open) {
      const places = settled(sheet, row, start, this.known.narrow(sheet.id));
      const floor = places.filter((place) => place.on.length === 0);
      const depth = Math.max(0, ...floor.map((place) => place.dy));
      const slack = rowSlack(sheet.width_um, this.known.narrow(sheet.id), start, floor);
      rows.push({
        ...(row.row ?? UNKNOWN),
        number: rows.length + 1,
        start_um: start,
        depth_um: depth,
        slack_um: slack,
        places,
      });
      start += depth;
    }
    const weighs = (place: PlaceSheet) => this.known.case(place.code)?.mass_g ?? 0;
    const mass_g = rows.flatMap((row) => row.places).reduce((sum, one) => sum + weighs(one), 0);
    return { ...sheet, rows, floor_length_um: start, mass_g };
  }
}

const UNKNOWN = {
  straps: 0,
  why: { value: null, unit: "", source: "", derivation: "The judge is looking.", caution: "" },
  fill: null,
};
