/** What a form sends of what it changed, and lists of two people brought together. */
import assert from "node:assert/strict";
import { test } from "node:test";

// the signals of the office look at the page's address once
Object.assign(globalThis, {
  location: { pathname: "/office" },
  document: { documentElement: { lang: "", dataset: {} } },
  addEventListener: () => undefined,
});
const { patchOf, withField } = await import("../src/office/shared/changes");
const { together, shown } = await import("../src/office/shared/conflict");

const conflict = (before: unknown, yours: unknown, theirs: unknown) => ({
  field: "cases",
  before,
  yours,
  theirs,
  by: "Mia",
  at: 1,
});

test("only what differs is sent, objects by field, lists whole", () => {
  const before = { name: "A", rules: { straps_min: 1, hands: "men" }, cases: ["X"], ramp: null };
  assert.deepEqual(patchOf(before, { ...before }), {});
  assert.deepEqual(patchOf(before, { ...before, name: "B" }), { name: "B" });
  const rules = { straps_min: 2, hands: "men" };
  assert.deepEqual(patchOf(before, { ...before, rules }), { rules: { straps_min: 2 } });
  assert.deepEqual(patchOf(before, { ...before, cases: [] }), { cases: [] });
  assert.deepEqual(patchOf({ ramp: { a: 1 } }, { ramp: null }), { ramp: null });
});

test("a field that is left to the other person is not sent", () => {
  const patch = { name: "B", rules: { straps_min: 2 } };
  assert.deepEqual(withField(patch, "rules.straps_min"), { name: "B" });
  assert.deepEqual(withField(patch, "name"), { rules: { straps_min: 2 } });
  assert.deepEqual(withField(patch, "name", "C"), { ...patch, name: "C" });
});

test("two picks of cases together hold what either added and not what either took out", () => {
  const [a, b, c, d] = ["A", "B", "C", "D"].map((code) => ({ code, drop: 1 }));
  const both = together(conflict([a, b], [a, c], [a, b, d]));
  assert.deepEqual(both, [a, d, c]);
  const later = { code: "A", drop: 3 };
  assert.deepEqual(together(conflict([a], [later], [a, b])), [later, b]);
  assert.equal(together(conflict("x", "y", "z")), undefined);
});

test("values are shown as people read them", () => {
  assert.equal(shown("payload_g", null), "nothing");
  assert.equal(shown("aside", true), "yes");
  assert.equal(
    shown("cases", [{ code: "A" }, { code: "C" }], [{ code: "A" }, { code: "B" }]),
    "2 entries, without B, with C",
  );
});
