/** Every kind of sentence of the server is said in every other language, with all its numbers. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { languages, speak } from "../src/i18n";
import { said } from "../src/i18n/said";

// `python -m tests.support.said` writes one of each kind; tests/service/test_said.py holds it so
const SENTENCES = JSON.parse(
  readFileSync("../fixtures/said/sentences.json", "utf8"),
) as readonly string[];
const ENGLISH = /\b(the|because|people|person|and|with|over|left|not|asks|row|board|straps?)\b/i;
/** Clauses of rules carry their numbers as a name. */
const BY_NAME = /CFR|EN 12195|L23|5\.9\.11|#|-/;

// what is said in a language is shown on a page; here there is none
Object.assign(globalThis, { document: { documentElement: { lang: "" } } });

const numbers = (text: string): number[] =>
  [...text.matchAll(/\d[\d.,]*/g)].map(([found]) => Number(found.replace(/[.,]$/, "")));
const english = (text: string): number[] => numbers(text.replace(/(\d),(\d)/g, "$1$2"));
const metric = (text: string): number[] =>
  numbers(text.replace(/(\d)\.(\d)/g, "$1$2").replace(/(\d),(\d)/g, "$1.$2"));
const sorted = (all: number[]): number[] => all.sort((a, b) => a - b);

test("English is said as it is", () => {
  assert.equal(said("it asks 7 people"), "it asks 7 people");
});

for (const tag of languages.slice(1)) {
  test(`every kind of sentence is said in ${tag}`, async () => {
    await speak(tag);
    assert.ok(SENTENCES.length > 100);
    for (const sentence of SENTENCES) {
      const own = said(sentence);
      assert.ok(own !== null, sentence);
      // names of cases stay as the owner wrote them
      if (!/ for .+\(/.test(sentence)) assert.doesNotMatch(own, ENGLISH, sentence);
      if (!BY_NAME.test(sentence))
        assert.deepEqual(sorted(metric(own)), sorted(english(sentence)), own);
    }
    // what was expected of a broken report is for whoever mends the phone
    assert.match(said("event.hlc: expected 13 digits, got 7") ?? "", /\(event\.hlc\)/);
    assert.equal(said("a sentence that nobody has written yet"), null);
  });
}
