/** Every language says everything that English says, with the same blanks and enough plurals. */
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";
import english from "../src/i18n/en.json";

// the runner starts every test in pwa/
const FOLDER = "src/i18n";
const files = new Map(
  readdirSync(FOLDER)
    .filter((name) => name.endsWith(".json"))
    .map((name): [string, Record<string, string>] => [
      name.replace(".json", ""),
      JSON.parse(readFileSync(`${FOLDER}/${name}`, "utf8")) as Record<string, string>,
    ]),
);

const blanks = (text: string): string[] =>
  [...new Set([...text.matchAll(/\{(\w+)\}/g)].map((found) => found[1] ?? ""))].sort();

test("there are at least two languages", () => {
  assert.ok(files.size >= 2, [...files.keys()].join(", "));
});

for (const [tag, words] of files) {
  test(`${tag} has the keys of English, no fewer and no more`, () => {
    // the server's English needs no phrases in English
    const own = Object.keys(words).filter((key) => key !== "@said");
    assert.deepEqual(own.sort(), Object.keys(english).sort());
  });

  test(`${tag} fills every blank that English fills`, () => {
    for (const [key, text] of Object.entries(english)) {
      if (key === "@plural") continue;
      for (const form of (words[key] ?? "").split("|"))
        assert.deepEqual(
          blanks(form).filter((name) => name !== "n"),
          blanks(text).filter((name) => name !== "n"),
          key,
        );
    }
  });

  test(`${tag} gives as many forms of a plural as it says`, () => {
    const forms = (words["@plural"] ?? "").split(" ");
    const wanted = new Intl.PluralRules(tag).resolvedOptions().pluralCategories;
    for (const form of forms) assert.ok(wanted.includes(form as Intl.LDMLPluralRule), form);
    for (const [key, text] of Object.entries(english))
      if (text.includes("|")) assert.equal(words[key]?.split("|").length, forms.length, key);
  });

  test(`${tag} says the sides as the crew says them, never left or right alone`, () => {
    for (const [key, text] of Object.entries(words))
      if (typeof text === "string")
        assert.doesNotMatch(text, /\b(left side|right side|lado izquierdo|lado derecho)\b/i, key);
  });
}
