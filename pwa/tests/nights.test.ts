// Every night of fixtures/nights folds as written there; the server's suite reads the same files.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { answerScan } from "../src/core/answer";
import type { Bundle, Move } from "../src/core/bundle";
import type { RowcallEvent } from "../src/core/events";
import { fold } from "../src/core/fold";
import { nextUp } from "../src/core/next-up";
import { releaseReasons } from "../src/core/release";

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

interface Night {
  what: string;
  bundle: string;
  events: RowcallEvent[];
  /** Of each id its number and time at the server. */
  arrived?: Record<string, [number, number]>;
  expect: Json;
  scans?: { code: string; move: Move; vehicle: string; expect: Json }[];
  next?: { move: Move; vehicle: string; expect: Json }[];
  release?: { move: Move; vehicle: string; unsent?: string[]; gates: string[] }[];
}

const FOLDER = `${process.cwd()}/../fixtures/nights`;

function read<T>(path: string): T {
  return JSON.parse(readFileSync(`${FOLDER}/${path}`, "utf8")) as T;
}

/** Objects may hold more keys than expected, lists not more items. */
function differences(expected: Json, got: unknown, place: string): string[] {
  if (Array.isArray(expected) && Array.isArray(got)) {
    if (expected.length !== got.length)
      return [`${place}: expected ${expected.length} items, got ${JSON.stringify(got)}`];
    return expected.flatMap((one, index) => differences(one, got[index], `${place}.${index}`));
  }
  const plain = (value: unknown) => typeof value === "object" && value !== null;
  if (plain(expected) && plain(got) && !Array.isArray(expected) && !Array.isArray(got)) {
    const held = got as Record<string, unknown>;
    return Object.entries(expected as Record<string, Json>).flatMap(([key, value]) =>
      differences(value, held[key], `${place}.${key}`),
    );
  }
  if (expected === got) return [];
  return [`${place}: expected ${JSON.stringify(expected)}, got ${JSON.stringify(got)}`];
}

for (const file of readdirSync(FOLDER).filter((name) => name.endsWith(".json")))
  test(`a night folds as written: ${file}`, () => {
    const night = read<Night>(file);
    const bundle = read<Bundle>(`bundles/${night.bundle}.json`);
    const arrived = Object.entries(night.arrived ?? {});
    const state = fold(
      bundle,
      night.events,
      new Map(arrived.map(([id, [seq, at]]) => [id, { seq, at }])),
    );
    const found = differences(night.expect, state, "");
    for (const { expect, ...scan } of night.scans ?? [])
      found.push(...differences(expect, answerScan(state, bundle, scan), `scan ${scan.code}`));
    for (const { expect, ...leg } of night.next ?? [])
      found.push(...differences(expect, nextUp(state, bundle, leg), `next ${leg.move}`));
    for (const { gates, ...leg } of night.release ?? []) {
      const reasons = releaseReasons(state, bundle, leg).map(({ gate }) => gate);
      found.push(...differences(gates, reasons, "release"));
    }
    assert.deepEqual(found, [], night.what);
  });

test("the comparison itself finds what differs", () => {
  const got = { a: [1, { b: true }], c: null };
  assert.deepEqual(differences({ a: [1, {}] }, got, ""), []);
  assert.equal(differences({ a: [1] }, got, "").length, 1);
  assert.equal(differences({ a: [1, { b: 1 }] }, got, "").length, 1);
  assert.equal(differences({ d: null }, got, "").length, 1);
});
