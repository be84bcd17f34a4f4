/** Lengths and masses as people write them: the vectors that the server reads too. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { readLength, readMass, type LengthUnit, type MassUnit } from "../src/core/measures";

type Row<U> = [text: string, unit: U, expected: number | string];
const vectors = JSON.parse(
  readFileSync(`${process.cwd()}/../fixtures/measures/vectors.json`, "utf8"),
) as { lengths: Row<LengthUnit>[]; masses: Row<MassUnit>[] };

test("every length of the vectors is read as the server reads it", () => {
  assert.ok(vectors.lengths.length > 50);
  for (const [text, unit, expected] of vectors.lengths) {
    const read = readLength(text, unit);
    assert.equal(read.ok ? read.value : read.reason, expected, `${text} in ${unit}`);
  }
});

test("every mass of the vectors is read as the server reads it", () => {
  assert.ok(vectors.masses.length > 25);
  for (const [text, unit, expected] of vectors.masses) {
    const read = readMass(text, unit);
    assert.equal(read.ok ? read.value : read.reason, expected, `${text} in ${unit}`);
  }
});
