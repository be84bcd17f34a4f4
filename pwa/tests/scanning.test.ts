import assert from "node:assert/strict";
import { test } from "node:test";
import { InView } from "../src/scan/in-view";
import { Burst } from "../src/scan/wedge";

test("a label held for ten seconds counts once, and again after it was gone", () => {
  const view = new InView();
  let counted = 0;
  for (let ms = 0; ms <= 10_000; ms += 100) if (view.see("PW-031-7", ms)) counted += 1;
  assert.equal(counted, 1);
  assert.equal(view.see("PW-031-7", 12_000), false);
  assert.equal(view.see("PW-031-7", 16_000), true);
});

test("a label that could not be kept counts again at its next sighting", () => {
  const view = new InView();
  assert.equal(view.see("PW-031-7", 0), true);
  view.forget("PW-031-7");
  assert.equal(view.see("PW-031-7", 100), true);
  assert.equal(view.see("PW-031-7", 200), false);
});

test("ten labels in one view each count once", () => {
  const view = new InView();
  const labels = Array.from({ length: 10 }, (_, number) => `label ${number}`);
  const seen = [0, 100, 200].flatMap((ms) => labels.filter((label) => view.see(label, ms)));
  assert.deepEqual(seen, labels);
});

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
