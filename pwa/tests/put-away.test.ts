/** Homes come in walking order as on the server: fixtures/homes/order.json. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { asWalked } from "../src/core/put-away";

interface Row {
  walked: string[];
  homes: string[];
  order: string[];
}

test("homes are walked as the owner named them, then by their numbers", () => {
  const file = JSON.parse(readFileSync("../fixtures/homes/order.json", "utf8")) as { rows: Row[] };
  for (const { walked, homes, order } of file.rows)
    for (const given of [homes, [...homes].reverse()])
      assert.deepEqual(asWalked(given, walked), order);
});
