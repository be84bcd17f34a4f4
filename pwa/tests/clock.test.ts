import assert from "node:assert/strict";
import { test } from "node:test";
import {
  heardServer,
  hlcText,
  MAX_DRIFT_MS,
  NEW_CLOCK,
  receive,
  tick,
  uuid7,
} from "../src/core/clock";

const NOON = Date.UTC(2027, 3, 18, 12);
const DAY = 86_400_000;

test("every reading of one phone is later than the one before, though its clock goes back", () => {
  let clock = NEW_CLOCK;
  let last = "";
  for (const wall of [NOON, NOON, NOON - DAY, NOON + 1, NOON - 5]) {
    clock = tick(clock, { wall });
    const next = hlcText(clock, "a");
    assert.ok(next > last, `${next} after ${last}`);
    last = next;
  }
});

test("a phone a day ahead that has heard the server reads as the server does", () => {
  const wall = NOON + DAY;
  const clock = tick(heardServer(NEW_CLOCK, NOON, { wall }), { wall: wall + 5 });
  assert.equal(clock.ms, NOON + 5);
});

test("what follows something heard reads later, unless that was far ahead of us", () => {
  const near = hlcText(tick(NEW_CLOCK, { wall: NOON + MAX_DRIFT_MS }), "fast");
  const mine = tick(receive(NEW_CLOCK, near, { wall: NOON }), { wall: NOON + 10 });
  assert.ok(hlcText(mine, "slow") > near);
  const far = hlcText(tick(NEW_CLOCK, { wall: NOON + DAY }), "broken");
  assert.equal(receive(NEW_CLOCK, far, { wall: NOON }).ms, 0);
});

test("a full counter moves the milliseconds on", () => {
  const full = { ...NEW_CLOCK, ms: NOON, count: 99_999 };
  assert.equal(hlcText(tick(full, { wall: NOON }), "a"), `${NOON + 1}-00000-a`);
});

test("ids are UUIDs of version 7 that sort by their time", () => {
  // the example of RFC 9562, appendix A.6: 2022-02-22 19:22:22 UTC is 017f22e2-79b0
  const random = Uint8Array.from([0xcc, 0x31, 0x8c, 0x4d, 0xc0, 0xc0, 0xc0, 0x73, 0x98, 0xf0]);
  assert.equal(uuid7(1_645_557_742_000, random), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  assert.ok(uuid7(NOON, random) < uuid7(NOON + 1, new Uint8Array(10)));
});
