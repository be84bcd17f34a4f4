/** The wall of the dock: whose page is up, by the clock alone. */
import assert from "node:assert/strict";
import { test } from "node:test";
import type { NightSummary, VehicleSummary } from "../src/core/night-summary";
import { pagesOf, turnAt, TURN_MS } from "../src/core/wall";

const CLOSE = { pace: 30, at: 5, from: 4, to: 6 };
const held = { number: 3, on: 1, due: 4, holder: "Mia" } as VehicleSummary["rows"][number];

const vehicle = (id: string, more: Partial<VehicleSummary>): VehicleSummary =>
  ({ id, done: 2, due: 9, missing: [], close: null, rows: [], released: null, ...more }) as never;

const night = (...vehicles: VehicleSummary[]): NightSummary => ({ vehicles }) as never;

test("a page takes a turn only where it has something to say", () => {
  assert.deepEqual(pagesOf(vehicle("A", {})), ["next"]);
  const all = { missing: ["AU-020-7"], close: CLOSE, rows: [held] };
  assert.deepEqual(pagesOf(vehicle("A", all)), ["next", "missing", "time", "rows"]);
  // with everything on, what is missing still shows, and no time to close
  assert.deepEqual(pagesOf(vehicle("A", { ...all, done: 9 })), ["done", "missing"]);
});

test("every page of every vehicle comes up once in a round, and then the first again", () => {
  const two = night(
    vehicle("A", { missing: ["AU-020-7"], close: CLOSE }),
    vehicle("B", { rows: [held] }),
  );
  const seen = Array.from({ length: 6 }, (_, n) => turnAt(two, n * TURN_MS + 1));
  assert.deepEqual(
    seen.map((turn) => `${turn?.vehicle.id} ${turn?.page} ${turn?.at}/${turn?.of}`),
    ["A next 1/5", "A missing 2/5", "A time 3/5", "B next 4/5", "B rows 5/5", "A next 1/5"],
  );
});

test("a released vehicle leaves the wall to those still worked; the last ones stay", () => {
  const given = { by: "Ana", at: 1 } as never;
  const gone = vehicle("A", { done: 9, released: given });
  const turns = [0, 1, 2].map((n) => turnAt(night(gone, vehicle("B", {})), n * TURN_MS));
  assert.deepEqual([...new Set(turns.map((turn) => turn?.vehicle.id))], ["B"]);
  assert.equal(turnAt(night(gone), 0)?.page, "done");
  assert.equal(turnAt(night(), 0), null);
});
