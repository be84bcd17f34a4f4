import assert from "node:assert/strict";
import { crc32 as zlibCrc } from "node:zlib";
import { test } from "node:test";
import { fromBase45, toBase45 } from "../src/core/base45";
import { canonical } from "../src/core/canonical";
import { crc32 } from "../src/core/crc32";
import { Gathering, toFrames } from "../src/core/frames";

const bytes = (text: string) => new TextEncoder().encode(text);

/** A small generator of chance with a seed, so that a failure can be played again. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

test("base45 gives the examples of RFC 9285, 4.3 and 4.4", () => {
  assert.equal(toBase45(bytes("AB")), "BB8");
  assert.equal(toBase45(bytes("Hello!!")), "%69 VD92EX0");
  assert.equal(toBase45(bytes("base-45")), "UJCLQE7W581");
  assert.equal(new TextDecoder().decode(fromBase45("QED8WEX0")), "ietf!");
  assert.throws(() => fromBase45(":::"), /RFC 9285/);
});

test("the CRC-32 is the one of zlib", () => {
  assert.equal(crc32(bytes("123456789")), 0xcbf43926);
  const here = zlibCrc as ((data: Uint8Array) => number) | undefined;
  // Node 20.15 and later bring it
  if (here) assert.equal(crc32(bytes("rowcall")), here(bytes("rowcall")));
});

test("a run of frames comes over in any order, with repeats, losses and strange codes between", () => {
  const random = chance(7);
  const payload = Uint8Array.from({ length: 20_000 }, () => Math.floor(random() * 256));
  const frames = toFrames(payload);
  const gathering = new Gathering();
  let whole: Uint8Array | null = null;
  for (let tries = 0; whole === null && tries < frames.length * 40; tries += 1) {
    gathering.take("PW-031-7");
    gathering.take("RCH1/00000000/9/3/AB");
    whole = gathering.take(frames[Math.floor(random() * frames.length)] ?? "")?.payload ?? null;
  }
  assert.deepEqual(whole, payload);
});

test("a run with a wrong frame in it is refused as a whole", () => {
  const frames = toFrames(bytes("x".repeat(1_000)));
  const gathering = new Gathering();
  const wrong = (frames[0] ?? "").slice(0, -3) + "000";
  assert.equal(gathering.take(wrong)?.payload, null);
  for (const frame of frames.slice(1)) assert.equal(gathering.take(frame)?.payload ?? null, null);
});

test("the canonical form sorts keys at every depth and escapes nothing without need", () => {
  // the right side is what Python's json.dumps gives with sort_keys, tight separators, no ASCII
  const value = { b: [1, { z: null, a: "é\n" }], a: true, c: undefined };
  assert.equal(canonical(value), '{"a":true,"b":[1,{"a":"é\\n","z":null}]}');
});
