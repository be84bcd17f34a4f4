// People on a ramp: the same numbers as the server, of which the file is written.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { crossing, type Way } from "../src/core/hands";

type Row = Record<string, unknown>;
const [keys, ...rows] = JSON.parse(readFileSync("../fixtures/handling/crossings.json", "utf8")) as [
  string[],
  ...unknown[][],
];
const vectors: Row[] = rows.map((row) => Object.fromEntries(keys.map((key, at) => [key, row[at]])));

test("the phone counts the people of every crossing as the server does", () => {
  assert.ok(vectors.length > 500);
  for (const { mass_g, people, spotters, may_go, ...way } of vectors) {
    const told = crossing(mass_g as number, way as unknown as Way);
    assert.deepEqual(told, { people, spotters, may_go }, JSON.stringify({ mass_g, ...way }));
  }
});
