/** The office's typing, sorting, sums and words of trouble; masses are shown up, never down. */
import assert from "node:assert/strict";
import test from "node:test";
import { fieldWords, messageWords } from "../src/office/shared/error-messages";
import { faultOf } from "../src/office/shared/number-error";
import { matches, sorted } from "../src/office/cases/sort";
import type { FleetCase } from "../src/office/shared/api-types";
import { shop } from "../src/office/shared/state";
import { byDepartment, sumsOf } from "../src/office/shared/totals";
import * as units from "../src/office/shared/units";
import { asBefore } from "../src/office/cases/as-before";
import { nextCode, offers } from "../src/office/cases/next-code";
import { usual } from "../src/office/reports/usual-minutes";

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
  never_beside: [],
  owner: "",
  state: "good",
  notes: { weighed_on: "", return_on: "", contents: [], note: "", tags: [] },
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

test("a mass is read to the gram and shown rounded up, and a whole pound stays a whole pound", () => {
  shop.value = { ...shop.value, units: { length: "in", mass: "lb" } };
  assert.equal(units.readMass("255"), 115_666); // 255 x 453.59237 = 115 666.05 g
  assert.equal(units.bareMass(115_666), "255");
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

test("cases are added up by department, with the floor they cover upright", () => {
  shop.value = { ...shop.value, units: { length: "in", mass: "lb" } };
  const many = [named("A", 1000), { ...named("B", 0), department: "audio" }, named("C", 500)];
  assert.deepEqual(
    byDepartment(many).map(([word, sums]) => [word, sums.count, sums.mass_g, sums.unweighed]),
    [
      ["audio", 1, 0, 1],
      ["rigging", 2, 1500, 0],
    ],
  );
  // 32 footprints of 30 x 22.5 in are 21 600 square inches, 150 square feet of 144
  const floor = sumsOf(Array.from({ length: 32 }, () => LIKE)).floor_mm2;
  assert.equal(units.area(floor), "150 ft²");
  shop.value = { ...shop.value, units: { length: "cm", mass: "kg" } };
  assert.equal(units.area(floor), "13.9 m²"); // 1 in = 25.4 mm: 13.935 m²
});

test("what the server found wrong is said by the form's labels and in plain words", () => {
  assert.equal(fieldWords("ramp.deck_height_um"), "ramp, Height of the deck");
  assert.equal(fieldWords("narrow.0.to_um"), "Narrow stretch, 1, To");
  const said = (message: string): string => messageWords({ message });
  assert.equal(said("String should have at least 1 character"), "write something here");
  assert.equal(said("Input should be greater than 0"), "a number above zero");
  assert.equal(said("expected a code such as PW-031-7"), "expected a code such as PW-031-7");
});

test("what many cases had before goes back in one change for each value", () => {
  const many = [named("A", 5), named("B", 7), named("C", 5)];
  assert.deepEqual(asBefore(many, "mass_g"), [
    { codes: ["A", "C"], change: { mass_g: 5 } },
    { codes: ["B"], change: { mass_g: 7 } },
  ]);
  const weighed = { ...LIKE, notes: { ...LIKE.notes, weighed_on: "2027-01-02" } };
  assert.deepEqual(asBefore([weighed], "weighed_on"), [
    { codes: ["RG-001-Q"], change: { weighed_on: "2027-01-02" } },
  ]);
});

test("the usual minutes of a vehicle are its least, middle and most", () => {
  const leg = (minutes: number, cases = 30) => ({
    move: "load_out",
    vehicle: "T1",
    minutes,
    cases,
  });
  const [found] = usual([leg(40), leg(30), leg(0), leg(50), leg(60)]);
  assert.deepEqual(found, {
    move: "load_out",
    vehicle: "T1",
    nights: 4,
    least: 30,
    middle: 45,
    most: 60,
    pace: 40, // 120 cases in 180 minutes
  });
});

test("free codes are offered with their check character, never a number used before", () => {
  // check characters as printed in the demo fleet: ISO/IEC 7064 MOD 37-2
  assert.equal(nextCode("PW", []), "PW-001-J");
  assert.deepEqual(offers("", ["RG-001-Q", "RG-003-M", "CASE 7"]), ["RG-004-K"]);
  assert.deepEqual(offers("PW", ["RG-001-Q"]), ["PW-001-J"]);
  assert.deepEqual(offers("PW-31", []), ["PW-031-7"]);
  assert.deepEqual(offers("PW-1", ["PW-001-J"]), []);
  assert.deepEqual(offers("PW-031-7", []), []);
  assert.deepEqual(offers("RG-2", []), []); // its check character is never issued
});

test("a wrong number is told in words, an empty field is not", () => {
  // value, bounds, what is told
  const rows = [
    [Number.NaN, { such: "60.5" }, "A number, such as 60.5"],
    [0, { least: "above", such: "60.5" }, "A number above zero, such as 60.5"],
    [-1, { least: "zero", such: "12" }, "A whole number of zero or more, such as 12"],
    [-25_400, { least: "any", such: "60.5" }, ""],
    [1e9 + 1, { such: "60.5" }, "A smaller number"],
    [21, { most: 20, such: "12" }, "A smaller number"],
    [5, { such: "60.5", wrong: "Farther back" }, "Farther back"],
    [null, { least: "above", such: "60.5", wrong: "Farther back" }, ""],
  ] as const;
  for (const [value, bounds, told] of rows) assert.equal(faultOf(value, bounds), told);
});
