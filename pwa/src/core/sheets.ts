/** The bundle's sheets, looked up: which vehicle and row each case is planned for. */
import { MOVES, type Bundle, type PlaceSheet, type RowSheet, type VehicleSheet } from "./bundle";
import type { RowcallEvent } from "./events";

export interface Planned {
  vehicle: VehicleSheet;
  row: RowSheet;
  place: PlaceSheet;
}

export class Sheets {
  readonly vehicles = new Map<string, VehicleSheet>();
  readonly places = new Map<string, Planned>();
  private readonly rows = new Map<string, Set<number>>();
  /** Which case each spare goes for, by the latest excuse of each case. */
  private readonly instead = new Map<string, string>();

  constructor(bundle: Bundle, events: RowcallEvent[]) {
    for (const vehicle of bundle.vehicles) {
      this.vehicles.set(vehicle.id, vehicle);
      this.rows.set(vehicle.id, new Set(vehicle.rows.map((row) => row.number)));
      for (const row of vehicle.rows)
        for (const place of row.places)
          if (!this.places.has(place.code)) this.places.set(place.code, { vehicle, row, place });
    }
    for (const move of MOVES) this.readSwaps(events.filter((event) => event.move === move));
  }

  private readSwaps(events: RowcallEvent[]): void {
    const swaps = new Map<string, string>();
    for (const { body } of events) {
      if (body.kind === "excused") {
        swaps.delete(body.code);
        if (body.why === "swapped" && body.for_code && body.for_code !== body.code)
          swaps.set(body.code, body.for_code);
      } else if (body.kind === "unexcused") swaps.delete(body.code);
    }
    for (const [code, spare] of swaps) this.instead.set(spare, code);
  }

  /** The place planned for a case, or for the case in whose stead it goes. */
  planned(vehicle: string, code: string): Planned | null {
    const own = this.places.get(code);
    if (own?.vehicle.id === vehicle) return own;
    const seen = new Set<string>([code]);
    let name = this.instead.get(code);
    while (name !== undefined && !seen.has(name)) {
      const found = this.places.get(name);
      if (found?.vehicle.id === vehicle) return found;
      seen.add(name);
      name = this.instead.get(name);
    }
    return null;
  }

  plannedRow(vehicle: string, code: string): number | null {
    return this.planned(vehicle, code)?.row.number ?? null;
  }

  /** The row in which a case stands: as the crew says, else as planned. */
  standingRow(vehicle: string, code: string, said: number | null): number | null {
    if (said !== null && this.rows.get(vehicle)?.has(said)) return said;
    return this.plannedRow(vehicle, code);
  }
}
