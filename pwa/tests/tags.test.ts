// Which text names which case: the table that the server's tests walk too.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { accept, acceptTyped, type Known } from "../src/core/case-code";
import { taggedCase, tagOwners } from "../src/core/tags";

interface Table {
  cases: { code: string; tags: string[] }[];
  texts: { text: string; code: string | null }[];
}
const TABLE = JSON.parse(readFileSync("../fixtures/labels/tags.json", "utf8")) as Table;
const owners = tagOwners(TABLE.cases);
const codes = new Set(TABLE.cases.map(({ code }) => code));
const known: Known = {
  has: (code) => codes.has(code),
  tagged: (text) => taggedCase(text, owners, known),
};

for (const { text, code } of TABLE.texts)
  test(`${JSON.stringify(text)} names ${code ?? "no case"}`, () => {
    for (const read of [accept, acceptTyped])
      assert.equal(((answer) => (answer.ok ? answer.code : null))(read(text, known)), code);
  });
