import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import type { RowcallEvent } from "../src/core/events";
import { canonical } from "../src/core/canonical";
import { chain, covered, covers, firstChange, head } from "../src/core/record-chain";
import { sha256 } from "../src/core/sha256";

interface Vectors {
  sha256: { text: string; repeat: number; digest: string }[];
  canonical: { value: unknown; text: string }[];
  show: string;
  events: RowcallEvent[];
  digests: string[];
}

const VECTORS = JSON.parse(
  readFileSync(`${process.cwd()}/../fixtures/records/vectors.json`, "utf8"),
) as Vectors;

test("SHA-256 gives the digests of NIST's examples", () => {
  for (const { text, repeat, digest } of VECTORS.sha256)
    assert.equal(sha256(text.repeat(repeat)), digest);
});

test("canonical JSON is as RFC 8785 writes it, for what events hold", () => {
  for (const { value, text } of VECTORS.canonical) assert.equal(canonical(value), text);
  assert.throws(() => canonical(0.5));
  assert.throws(() => canonical("\ud800"));
  assert.throws(() => canonical(2 ** 53));
});

test("the chain is the server's, whatever the order in which events come", () => {
  assert.deepEqual(chain(VECTORS.show, VECTORS.events), VECTORS.digests);
  assert.deepEqual(chain(VECTORS.show, [...VECTORS.events].reverse()), VECTORS.digests);
});

test("a changed event is found where it was changed", () => {
  const { show, events, digests } = VECTORS;
  assert.equal(firstChange(show, events, digests), null);
  const changed = events.map((event, at) => (at === 1 ? { ...event, at: event.at + 1 } : event));
  assert.equal(firstChange(show, changed, digests), 1);
  assert.equal(firstChange(show, events.slice(0, -1), digests), events.length - 1);
});

test("what a phone knew is found again among all events", () => {
  const known = VECTORS.events.filter((_, at) => at !== 1);
  const again = covered(VECTORS.events, covers(known));
  assert.deepEqual(again, known);
  assert.equal(head(VECTORS.show, again), head(VECTORS.show, known));
});
