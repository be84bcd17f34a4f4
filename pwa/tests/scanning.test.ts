import assert from "node:assert/strict";
import { test } from "node:test";
import { Burst } from "../src/scan/wedge";

/** Keys one after the other, `pause` ms apart, then Enter. */
function typed(text: string, pause: number): string | null {
  const burst = new Burst();
  let now = 1_000;
  for (const key of [...text]) {
    assert.equal(burst.key(key, now), null);
    now += pause;
  }
  return burst.key("Enter", now);
}

test("a scanner's burst is taken, a person's typing is not", () => {
  assert.equal(typed("PW-031-7", 8), "PW-031-7");
  assert.equal(typed("PW-031-7", 120), null);
  assert.equal(typed("abc", 8), null);
});

test("a short burst is taken where it is a code of the show", () => {
  const burst = new Burst((text) => text === "K1");
  const keys = (text: string) => [...text].map((key, at) => burst.key(key, 1_000 + at * 5));
  keys("K1");
  assert.equal(burst.key("Enter", 1_015), "K1");
  keys("K2");
  assert.equal(burst.key("Enter", 1_015), null);
});

test("a shift key within the burst is no sign of the text", () => {
  const burst = new Burst();
  for (const [index, key] of ["Shift", "P", "Shift", "W", "-", "0", "3"].entries())
    burst.key(key, 1_000 + index * 5);
  assert.equal(burst.key("Enter", 1_040), "PW-03");
});
