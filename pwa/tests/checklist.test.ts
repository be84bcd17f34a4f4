/** Cards of the checks that come before the first case: which one is up. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { cardUp } from "../src/core/checklist";

type Asked = Parameters<typeof cardUp>[0][number];

/** `said`: what was answered, null by nobody; a yes that lacks its photo or number is still open. */
const asked = (id: string, said: boolean | null, open = said !== true): Asked =>
  ({ check: { id }, known: { id, open, ok: said, mark: said === null ? null : {} } }) as never;

const up = (all: Asked[], wanted = "") => cardUp(all, wanted)?.check.id ?? null;

test("cards come in the order of the list, each until it is answered", () => {
  const all = [asked("chocks", true), asked("ramp", null), asked("path", null)];
  assert.equal(up(all), "ramp");
  // whoever comes from a stop stands before its check; once that is answered, the rest follows
  assert.equal(up(all, "path"), "path");
  assert.equal(up(all, "chocks"), "ramp");
});

test("a no holds nobody at its card: it comes back when all others are answered", () => {
  const no = asked("chocks", false);
  assert.equal(up([no, asked("ramp", null)], "chocks"), "ramp");
  assert.equal(up([no, asked("ramp", true)]), "chocks");
});

test("a yes without its photo or number keeps its card, and with all answered there is none", () => {
  assert.equal(up([asked("ramp", true, true)]), "ramp");
  assert.equal(up([asked("ramp", true)]), null);
});
