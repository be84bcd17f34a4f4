// A night at a glance, from the same fold as the phones; and when it will be done.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { MOVES, type Bundle } from "../src/core/bundle";
import type { RowcallEvent } from "../src/core/events";
import { fold } from "../src/core/fold";
import { currentMove, summaryOf } from "../src/core/night-summary";
import { closing, fQuantile } from "../src/core/pace";
import { moments, stepOn } from "../src/office/night/replay";

const FOLDER = `${process.cwd()}/../fixtures/nights`;
const read = <T>(path: string): T => JSON.parse(readFileSync(`${FOLDER}/${path}`, "utf8")) as T;
const MINUTE = 60_000;

test("quantiles of F are those of the tables", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3, 10 % significance level.
  for (const [upper, lower, table] of [
    [2, 8, 3.113],
    [10, 10, 2.323],
    [20, 10, 2.201],
    [2, 20, 2.589],
    [10, 20, 1.937],
  ] as const) {
    assert.ok(Math.abs(fQuantile(0.9, upper, lower) / table - 1) < 0.01, `${upper} ${lower}`);
    const low = fQuantile(0.1, lower, upper); // the reciprocal rule of the F distribution
    assert.ok(Math.abs(low * table - 1) < 0.07, `${lower} ${upper}`);
  }
});

test("a steady crew is expected when it will be done, and later the longer it stands still", () => {
  const times = Array.from({ length: 11 }, (_, place) => place * MINUTE);
  const now = 10 * MINUTE;
  const close = closing(times, 20, now);
  assert.ok(close);
  assert.equal(Math.round(close.pace), 60);
  assert.equal(close.at, now + 20 * MINUTE);
  assert.ok(close.from < close.at && close.at < close.to);
  const still = closing(times, 20, now + 10 * MINUTE);
  assert.ok(still && still.at - (now + 10 * MINUTE) === 40 * MINUTE);
  assert.equal(closing(times.slice(0, 4), 20, now), null);
  assert.equal(closing(times, 0, now), null);
  assert.equal(closing([now, now, now, now, now], 3, now), null);
  // A phone whose clock is ahead: no time before the last case.
  assert.ok((closing(times, 5, 0)?.at ?? 0) > 0);
});

test("four of five nights end within the range", () => {
  let seed = 7;
  const random = () => (seed = (seed * 16_807) % 2_147_483_647) / 2_147_483_647;
  const gap = () => -Math.log(random()) * MINUTE;
  let [inside, nights] = [0, 0];
  for (let night = 0; night < 1500; night += 1) {
    const times: number[] = [0];
    for (let each = 0; each < 50; each += 1) times.push((times.at(-1) ?? 0) + gap());
    const seen = times.slice(0, 13);
    const close = closing(seen, times.length - seen.length, seen.at(-1) ?? 0);
    const end = times.at(-1) ?? 0;
    nights += 1;
    if (close && close.from <= end && end <= close.to) inside += 1;
  }
  assert.ok(Math.abs(inside / nights - 0.8) < 0.03, `${inside} of ${nights}`);
});

for (const file of readdirSync(FOLDER).filter((name) => name.endsWith(".json")))
  test(`the summary says what the fold says: ${file}`, () => {
    const night = read<{ bundle: string; events: RowcallEvent[] }>(file);
    const bundle = read<Bundle>(`bundles/${night.bundle}.json`);
    const state = fold(bundle, night.events);
    for (const move of MOVES) {
      const phones = [
        { device: "a", name: "Bo", role: "loader", unsent: 2, heard_at: 1, out: false },
        { device: "b", name: "Cy", role: "loader", unsent: 5, heard_at: 1, out: true },
      ];
      const sum = summaryOf(bundle, state, move, Date.UTC(2027, 0, 1), phones);
      const legs = Object.values(state.legs[move]);
      assert.equal(sum.vehicles.length, legs.length);
      assert.equal(
        sum.done,
        legs.reduce((count, leg) => count + leg.done, 0),
      );
      assert.equal(
        sum.missing,
        legs.flatMap((leg) => leg.not_on.filter((one) => one.status === "missing")).length,
      );
      assert.deepEqual([sum.unsent.events, sum.unsent.phones.length], [2, 1]);
      for (const vehicle of sum.vehicles) {
        for (const row of vehicle.rows) assert.ok(row.filled >= 0 && row.filled <= 1);
        const standing = vehicle.rows.reduce((count, row) => count + row.on, 0);
        assert.equal(
          standing,
          vehicle.leg.rows.reduce((count, row) => count + row.on.length, 0),
        );
      }
    }
    assert.ok(MOVES.includes(currentMove(state)));
  });

test("a replay jumps over the drive and ends with the night", () => {
  const hour = 60 * MINUTE;
  const times = [0, MINUTE, 5 * hour, 5 * hour + MINUTE];
  assert.equal(stepOn(times, 0, 30_000), 30_000);
  assert.equal(stepOn(times, MINUTE, 30_000), 5 * hour);
  assert.equal(stepOn(times, 5 * hour + MINUTE, 30_000), 5 * hour + MINUTE);
  assert.deepEqual(moments([]), []);
});
