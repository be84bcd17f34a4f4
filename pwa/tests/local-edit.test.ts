/** Steps drawn at once in the browser end as on the server: fixtures/editing/steps.json. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import type { PlaceSheet, Stance, VehicleSheet } from "../src/core/bundle";
import type { Step } from "../src/office/plan/draft";
import { editedHere, type Known } from "../src/office/plan/optimistic-edit";
import type { Narrow, Sides } from "../src/office/plan/optimistic-rows";

type PlainPlace = [
  string,
  number,
  number,
  number,
  number,
  number,
  number,
  Stance,
  boolean,
  string[],
];
interface Plain {
  left_out: string[];
  vehicles: { id: string; rows: [number, number, number, number, PlainPlace[]][] }[];
}
interface Vectors {
  vehicles: { id: string; width_um: number; narrow: Narrow[] }[];
  cases: (Sides & { code: string })[];
  start: Plain;
  chains: { step: Step; after: Plain }[][];
}

const file = "../fixtures/editing/steps.json";
const vectors = JSON.parse(readFileSync(file, "utf8")) as Vectors;
const cases = new Map(vectors.cases.map((one) => [one.code, one]));
const rooms = new Map(vectors.vehicles.map((one) => [one.id, one]));
const known: Known = {
  case: (code) => cases.get(code),
  narrow: (vehicle) => rooms.get(vehicle)?.narrow ?? [],
};
const FIGURE = { value: null, unit: "", source: "", derivation: "", caution: "" };

function opened(plain: Plain): VehicleSheet[] {
  return plain.vehicles.map(({ id, rows }) => ({
    id,
    name: id,
    mark: 0,
    width_um: rooms.get(id)?.width_um ?? 0,
    length_um: 0,
    height_um: 0,
    payload_g: null,
    driver_side: "left",
    straps: null,
    bars: 0,
    floor_length_um: rows.reduce((sum, row) => sum + row[2], 0),
    mass_g: 0,
    axles: null,
    ramp: null,
    rows: rows.map(([number, start_um, depth_um, slack_um, places]) => ({
      number,
      start_um,
      depth_um,
      slack_um,
      straps: 1,
      why: FIGURE,
      fill: null,
      places: places.map(place),
    })),
    load: [],
    unload: [],
    briefing: [],
  }));
}

function place([code, x, y, z, dx, dy, dz, stance, turned, on]: PlainPlace): PlaceSheet {
  const more = { side: "full", push: 0, lift: 0, cards: [] } as const;
  return { code, x, y, z, dx, dy, dz, stance, turned, on, ...more, cards: [] };
}

const byCode = (one: PlainPlace, other: PlainPlace): number => (one[0] < other[0] ? -1 : 1);

function plain(sheets: readonly VehicleSheet[]): Plain["vehicles"] {
  return sheets.map((sheet) => ({
    id: sheet.id,
    rows: sheet.rows.map((row) => [
      row.number,
      row.start_um,
      row.depth_um,
      row.slack_um,
      row.places
        .map((p): PlainPlace => [
          p.code,
          p.x,
          p.y,
          p.z,
          p.dx,
          p.dy,
          p.dz,
          p.stance,
          p.turned,
          [...p.on],
        ])
        .sort(byCode),
    ]),
  }));
}

test("every step of the vectors is drawn as the server answers it", () => {
  let here = 0;
  let elsewhere = 0;
  for (const chain of vectors.chains) {
    let now = vectors.start;
    for (const { step, after } of chain) {
      const done = editedHere(opened(now), step, known);
      if (done) {
        here += 1;
        const words = JSON.stringify(step);
        assert.deepEqual(plain(done.sheets), after.vehicles, words);
        const left = now.left_out.filter((code) => !done.back.includes(code));
        assert.deepEqual([...left, ...done.out].sort(), after.left_out, words);
      } else elsewhere += 1;
      now = after;
    }
  }
  assert.ok(here > 40, `${here} drawn here, ${elsewhere} left to the server`);
});

test("what is not there is left to the server, and nothing is changed by asking", () => {
  const sheets = opened(vectors.start);
  const before = JSON.stringify(sheets);
  const lost: Step[] = [
    { do: "move", code: "NO-SUCH", vehicle: "T1", row: 1 },
    { do: "move", code: "C00", vehicle: "T9", row: 1 },
    { do: "row", vehicle: "T1", row: 99, at: 1 },
    { do: "turn", code: "NO-SUCH" },
    { do: "move", code: "C00", vehicle: "T1", on: ["C00"] },
  ];
  for (const step of lost) assert.equal(editedHere(sheets, step, known), null);
  editedHere(sheets, { do: "row", vehicle: "T1", row: 1, at: 2 }, known);
  assert.equal(JSON.stringify(sheets), before);
});

test("a vehicle that no step touched stays the same object", () => {
  const sheets = opened(vectors.start);
  const done = editedHere(sheets, { do: "row", vehicle: "T1", row: 1, at: 2 }, known);
  assert.notEqual(done?.sheets[0], sheets[0]);
  assert.equal(done?.sheets[1], sheets[1]);
});
