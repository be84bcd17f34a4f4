import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { accept, acceptTyped, checkCharacter, checkHolds, readings } from "../src/core/case-code";

const FLEET = new Set(["PW-031-7", "LX-010-I"]);

// text → check character; the first is the worked example of python-stdnum 2.2,
// stdnum.iso7064.mod_37_2 (an ISBT 128 donation number), the rest were computed with it
const CHECKS: [string, string][] = [
  ["G123489654321", "Y"],
  ["PW031", "7"],
  ["PW001", "J"],
  ["A999999", "T"],
  ["SND123", "I"],
];

test("the check character is that of ISO/IEC 7064 MOD 37-2", () => {
  for (const [text, check] of CHECKS) assert.equal(checkCharacter(text), check, text);
});

test("every single wrong character and every swap of neighbours is caught", () => {
  const code = "PW-031-7";
  const places = [0, 1, 3, 4, 5, 7];
  for (const at of places)
    for (const sign of "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
      const wrong = code.slice(0, at) + sign + code.slice(at + 1);
      assert.equal(checkHolds(wrong), wrong === code, wrong);
    }
  assert.equal(checkHolds("WP-031-7"), false);
  assert.equal(checkHolds("PW-301-7"), false);
  assert.equal(checkHolds("PW-013-7"), false);
});

// typed → accepted code, or the kind of refusal
const TYPED: [string, string][] = [
  ["PW-031-7", "PW-031-7"],
  [" pw 031 7 ", "PW-031-7"],
  ["pw0317", "PW-031-7"],
  ["PW-31-7", "PW-031-7"],
  ["PW-O31-7", "PW-031-7"], // letter O for zero
  ["PW-03I-7", "PW-031-7"], // letter I for one
  ["LX-010-I", "LX-010-I"],
  ["1X-010-I", "LX-010-I"], // one for the letter L
  ["PW-031-8", "check"],
  ["", "empty"],
  ["x".repeat(40), "shape"],
];

test("a typed code is read forgivingly but never guessed", () => {
  for (const [typed, expected] of TYPED) {
    const read = acceptTyped(typed, FLEET);
    assert.equal(read.ok ? read.code : read.kind, expected, typed);
  }
});

test("a code whose check holds but that nobody owns is unknown, and named", () => {
  const read = acceptTyped("pw001j", new Set());
  assert.deepEqual(readings("pw001j"), ["PW-001-J"]);
  assert.deepEqual(!read.ok && [read.kind, read.candidates], ["unknown", ["PW-001-J"]]);
});

test("a decoder's read is taken exactly or not at all", () => {
  assert.deepEqual(accept("PW-031-7", FLEET), { ok: true, code: "PW-031-7" });
  const wrong = accept("PW-031-8", FLEET);
  assert.equal(!wrong.ok && wrong.kind, "check");
  const shape = accept("https://example.org/", FLEET);
  assert.equal(!shape.ok && shape.kind, "shape");
});

test("an owner's own numbering counts only through the fleet", () => {
  const own = new Set(["CASE 123"]);
  assert.deepEqual(accept("case 123", own), { ok: true, code: "CASE 123" });
  assert.equal(accept("CASE 124", own).ok, false);
});

interface Verdict {
  code?: string;
  refused?: string;
}

test("phone and server judge every text alike", () => {
  const file = readFileSync("../fixtures/codes/vectors.json", "utf8");
  const { known, rows } = JSON.parse(file) as {
    known: string[];
    rows: { text: string; read: Verdict; typed: Verdict }[];
  };
  const owned = new Set(known);
  const said = (read: ReturnType<typeof accept>): Verdict =>
    read.ok ? { code: read.code } : { refused: read.kind };
  assert.ok(rows.length > 100);
  for (const { text, read, typed } of rows) {
    assert.deepEqual(said(accept(text, owned)), read, `read ${text}`);
    assert.deepEqual(said(acceptTyped(text, owned)), typed, `typed ${text}`);
  }
});
