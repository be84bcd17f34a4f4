import assert from "node:assert/strict";
import { test } from "node:test";
import { MOST_AHEAD_MS, nextHlc, parseHlc, seenHlc } from "../src/core/clock";
import { uuid7 } from "../src/core/uuid";

const NOON = Date.UTC(2027, 3, 18, 12);

test("every reading of one phone is later than the one before, though its clock goes back", () => {
  const times = [NOON, NOON, NOON - 86_400_000, NOON + 1, NOON - 5];
  let last = "";
  for (const now of times) {
    const next = nextHlc(last, now, "a");
    assert.ok(next > last, `${next} after ${last}`);
    last = next;
  }
});

test("what follows something heard from a phone a day ahead still reads later", () => {
  const ahead = nextHlc("", NOON + 86_400_000, "fast");
  const mine = nextHlc(seenHlc("", ahead, NOON), NOON + 10, "slow");
  assert.ok(mine > ahead);
});

test("a reading absurdly far ahead drags nobody along", () => {
  const broken = nextHlc("", NOON + MOST_AHEAD_MS + 1, "broken");
  assert.equal(seenHlc("", broken, NOON), "");
});

test("a full counter moves the milliseconds on", () => {
  const full = nextHlc(`${NOON}-99999-a`, NOON, "a");
  assert.deepEqual(parseHlc(full), { ms: NOON + 1, counter: 0 });
});

test("ids are UUIDs of version 7 that sort by their time", () => {
  // the example of RFC 9562, appendix A.6: 2022-02-22 19:22:22 UTC is 017f22e2-79b0
  const random = Uint8Array.from([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  assert.equal(uuid7(1_645_557_742_000, random), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  assert.ok(uuid7(NOON, random) < uuid7(NOON + 1, new Uint8Array(10)));
});
