/** The main moves of the plan editor, the same for keys, buttons and drags. */
import { act, chosen, draft, floorOf, spotOf } from "./draft";

export type Way = "bulkhead" | "door" | "driver" | "kerb";
const WORDS: Record<Way, string> = {
  bulkhead: "towards the bulkhead",
  door: "towards the door",
  driver: "towards the driver side",
  kerb: "towards the kerb side",
};

/** Move what is chosen one row along, or one place across. */
export async function push(way: Way): Promise<void> {
  const now = chosen.value;
  if (!now) return;
  if ("row" in now) await pushRow(now.vehicle, now.row, way);
  else await pushCase(now.code, way);
}

async function pushRow(vehicle: string, row: number, way: Way): Promise<void> {
  const sheet = draft.value?.sheets.find((each) => each.id === vehicle);
  const to = way === "bulkhead" ? row - 1 : way === "door" ? row + 1 : row;
  if (!sheet || to === row || to < 1 || to > sheet.rows.length) return;
  const done = await act(
    { do: "row", vehicle, row, to_vehicle: vehicle, at: to },
    `row ${row} of ${vehicle} ${WORDS[way]}`,
  );
  if (done) chosen.value = { vehicle, row: to };
}

async function pushCase(code: string, way: Way): Promise<void> {
  const spot = spotOf(code);
  if (!spot) return;
  const { sheet, row, place } = spot;
  const word = `${code} ${WORDS[way]}`;
  if (way === "bulkhead" || way === "door") {
    const to = row.number + (way === "door" ? 1 : -1);
    if (to < 1 || to > sheet.rows.length + 1) return;
    const next = sheet.rows.find((each) => each.number === to);
    const at = next
      ? floorOf(next).filter((each) => each.x + each.dx / 2 < place.x + place.dx / 2).length
      : 0;
    await act({ do: "move", code, vehicle: sheet.id, row: to, at }, word);
    return;
  }
  const root = place.on.length === 0 ? place : null;
  if (!root) return;
  const order = floorOf(row);
  const now = order.findIndex((each) => each.code === code);
  const right = (way === "kerb") === (sheet.driver_side === "left");
  const to = now + (right ? 1 : -1);
  if (to < 0 || to >= order.length) return;
  // the place is counted among the others, after this one is taken out
  await act({ do: "move", code, vehicle: sheet.id, row: row.number, at: to }, word);
}

/** Turn what is chosen by 90 degrees. */
export async function turn(): Promise<void> {
  const now = chosen.value;
  const spot = now && "code" in now ? spotOf(now.code) : null;
  if (!spot) return;
  const { code, stance, turned } = spot.place;
  await act({ do: "turn", code, stance, turned: !turned }, `${code} turned`);
}

export async function takeOut(): Promise<void> {
  const now = chosen.value;
  if (!now || !("code" in now)) return;
  if (await act({ do: "out", code: now.code }, `${now.code} out of the plan`)) chosen.value = null;
}

/** Choose the neighbour of what is chosen, as it is drawn: bulkhead at the left. */
export function step(vehicle: string, along: number, across: number): void {
  const sheet = draft.value?.sheets.find((each) => each.id === vehicle);
  if (!sheet || sheet.rows.length === 0) return;
  const now = chosen.value;
  if (now && "row" in now && now.vehicle === vehicle) {
    const to = Math.min(sheet.rows.length, Math.max(1, now.row + along));
    chosen.value = { vehicle, row: to };
    return;
  }
  const spot = now && "code" in now ? spotOf(now.code) : null;
  if (!spot || spot.sheet.id !== vehicle) {
    const code = floorOf(sheet.rows[0]!)[0]?.code;
    if (code) chosen.value = { code };
    return;
  }
  const middle = spot.place.x + spot.place.dx / 2;
  if (along !== 0) {
    const row = sheet.rows.find((each) => each.number === spot.row.number + along);
    const near = [...(row?.places ?? [])].sort(
      (one, other) =>
        Math.abs(one.x + one.dx / 2 - middle) - Math.abs(other.x + other.dx / 2 - middle),
    )[0];
    if (near) chosen.value = { code: near.code };
    return;
  }
  const order = [...spot.row.places].sort((one, other) => one.x - other.x || one.z - other.z);
  const to = order.findIndex((each) => each.code === spot.place.code) + across;
  const next = order[to];
  if (next) chosen.value = { code: next.code };
}
