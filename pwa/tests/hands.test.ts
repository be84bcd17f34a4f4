// People on a ramp: the same numbers as the server, of which the file is written.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { crew, crossing, type Way } from "../src/core/hands";

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

const fleet = JSON.parse(readFileSync("../fixtures/handling/fleet.json", "utf8")) as [
  string[],
  ...unknown[][],
];

test("the phone says the number that card, briefing and wall sheet say", () => {
  const [names, ...scenes] = fleet;
  assert.ok(scenes.length > 1_000);
  for (const scene of scenes) {
    const row: Row = Object.fromEntries(names.map((name, at) => [name, scene[at]]));
    const way = { ...row, floor: "good" } as unknown as Way;
    const cards = (row["cards"] as string[]).map((key) => ({ key }));
    const handled = {
      lift: row["lift"] as number,
      cards,
      lift_limits: row["lift_limits"] as number[],
    };
    assert.equal(crew(row["mass_g"] as number, way, handled), row["crew"], JSON.stringify(row));
    const scaled = crew(row["weighed_g"] as number, way, handled);
    assert.equal(scaled, row["weighed_crew"], `weighed: ${JSON.stringify(row)}`);
  }
});

test("a case that is weighed at the dock gets its people at once", () => {
  const [names, ...scenes] = fleet;
  const open = scenes
    .map((scene): Row => Object.fromEntries(names.map((name, at) => [name, scene[at]])))
    .filter(({ mass_g, cards }) => mass_g === 0 && (cards as string[]).length === 1);
  assert.ok(open.length > 0);
  for (const row of open) {
    const way = { ...row, floor: "good" } as unknown as Way;
    const cards = (row["cards"] as string[]).map((key) => ({ key }));
    const lift = row["lift"] as number;
    assert.equal(crew(0, way, { lift, cards }), null);
    assert.ok(crew(30_000, way, { lift, cards }), JSON.stringify(row));
  }
});
