// The phone refuses the same broken events as the server: both read fixtures/events.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { BadEvent, readEvent } from "../src/core/read-event";

type Json = Record<string, unknown>;

interface Vectors {
  event: Json;
  good_bodies: Json[];
  broken_at: { path: string; value: unknown }[];
  broken_bodies: { body: Json; place: string }[];
}

const VECTORS = JSON.parse(
  readFileSync(`${process.cwd()}/../fixtures/events/vectors.json`, "utf8"),
) as Vectors;

function changed(path: string, value: unknown): Json {
  const event = structuredClone(VECTORS.event);
  const keys = path.split(".");
  const last = keys.pop() ?? "";
  let held = event;
  for (const key of keys) held = held[key] as Json;
  held[last] = value;
  return event;
}

const refusedAt = (event: unknown, place: string) =>
  assert.throws(
    () => readEvent(event, "events.3"),
    (error) => error instanceof BadEvent && error.place === `events.3.${place}`,
    place,
  );

test("every kind is taken, one of a later version too", () => {
  for (const body of VECTORS.good_bodies)
    assert.deepEqual(readEvent(changed("body", body)).body, body);
});

test("a broken event is refused by place", () => {
  for (const { path, value } of VECTORS.broken_at) refusedAt(changed(path, value), path);
  for (const { body, place } of VECTORS.broken_bodies)
    refusedAt(changed("body", body), `body.${place}`);
});

test("what is no object is refused", () => {
  for (const wrong of [null, [], "on", 3]) assert.throws(() => readEvent(wrong), BadEvent);
});

test("texts and lists are bounded", () => {
  refusedAt(changed("body.code", "x".repeat(5000)), "body.code");
  const many = { kind: "unsent_known", devices: Array(1001).fill("p"), note: "" };
  refusedAt(changed("body", many), "body.devices");
});
