/** The office's typing and sorting: what is typed comes back the same, masses go up, never down. */
import assert from "node:assert/strict";
import test from "node:test";
import { matches, sorted } from "../src/office/fleet-order";
import type { FleetCase } from "../src/office/model";
import { shop } from "../src/office/state";
import * as units from "../src/office/units";

const LIKE: FleetCase = {
  code: "RG-001-Q",
  name: "chain hoist case",
  department: "rigging",
  home: "R1",
  length_um: 762_000,
  width_um: 571_500,
  height_um: 609_600,
  mass_g: 115_666,
  turn: true,
  stances: ["upright"],
  lid_load_g: null,
  rides: false,
  lid_casters: false,
  casters: true,
  never_under: [],
  owner: "",
  state: "good",
  notes: { weighed_on: "", return_on: "", contents: [], note: "" },
};
const named = (code: string, mass_g = 1): FleetCase => ({ ...LIKE, code, mass_g });

test("a length that is typed comes back the same in every unit", () => {
  for (const length of ["in", "cm", "mm"] as const) {
    shop.value = { ...shop.value, units: { length, mass: "lb" } };
    for (const typed of ["22.5", "45", "60.25", "0.5", "312"])
      assert.equal(units.typedLength(units.readLength(typed)), typed, `${typed} ${length}`);
  }
});

test("half the world writes a comma, an empty field is nothing, words are no number", () => {
  shop.value = { ...shop.value, units: { length: "in", mass: "kg" } };
  assert.equal(units.readLength("22,5"), 571_500);
  assert.equal(units.readLength("  "), null);
  assert.ok(Number.isNaN(units.readLength("wide")));
});

test("a mass is rounded up, to the safe side, and a whole pound stays a whole pound", () => {
  shop.value = { ...shop.value, units: { length: "in", mass: "lb" } };
  assert.equal(units.readMass("255"), 115_667); // 255 x 453.59237 = 115 666.05 g
  assert.equal(units.bareMass(115_667), "255");
  assert.equal(units.bareMass(115_800), "255.3");
});

test("a search holds every word, in any order, in any of the columns", () => {
  assert.ok(matches(LIKE, "hoist r1"));
  assert.ok(matches(LIKE, "RIG rg-001"));
  assert.ok(!matches(LIKE, "hoist r2"));
  assert.ok(matches(LIKE, ""));
});

test("codes are sorted as people count, and equals keep the order of their codes", () => {
  const codes = (many: FleetCase[]) => many.map((each) => each.code);
  const many = [named("A-10", 5), named("A-2", 7), named("B-1", 5)];
  assert.deepEqual(codes(sorted([...many], "code", false)), ["A-2", "A-10", "B-1"]);
  assert.deepEqual(codes(sorted([...many], "mass_g", false)), ["A-10", "B-1", "A-2"]);
  assert.deepEqual(codes(sorted([...many], "mass_g", true)), ["A-2", "B-1", "A-10"]);
});
