/** The three-dimensional view: what hides what, what comes off first, letters beside colours. */
import assert from "node:assert/strict";
import { test } from "node:test";
import type { VehicleSheet } from "../src/core/bundle";
import { standsOf } from "../src/office/drawing/model/stands";
import {
  faces,
  flat,
  forward,
  paintOrder,
  within,
  type Block,
  type View,
} from "../src/office/drawing/model/space";
import { initials, inkOn } from "../src/office/drawing/tint";

/** Blocks that do not overlap: a shuffled grid with gaps, stacks of different heights. */
function grid(count: number, seed: number): Block[] {
  let state = seed;
  const random = () => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) / 2_147_483_648;
  return Array.from({ length: count }, (_, n) => {
    const [x, y, z] = [n % 3, Math.floor(n / 3) % 10, Math.floor(n / 30)];
    const [w, d, h] = [0, 0, 0].map(() => 300 + 690 * random());
    return {
      code: `K-${n}`,
      row: y,
      min: [x * 1000, y * 1000, z * 1000],
      max: [x * 1000 + (w ?? 0), y * 1000 + (d ?? 0), z * 1000 + (h ?? 0)],
    };
  });
}

/** How far along the look a ray through a point of the picture enters a block; null: it misses. */
function enters(block: Block, view: View, at: { x: number; y: number }): number | null {
  const { turn, tilt } = view;
  const look = forward(view);
  const across = [Math.cos(turn), Math.sin(turn), 0];
  const up = [-Math.sin(turn) * Math.sin(tilt), Math.cos(turn) * Math.sin(tilt), Math.cos(tilt)];
  const start = [0, 1, 2].map((n) => at.x * (across[n] ?? 0) - at.y * (up[n] ?? 0));
  let [from, until] = [-Infinity, Infinity];
  for (let n = 0; n < 3; n++) {
    const along = look[n] ?? 0;
    const ends = [block.min[n] ?? 0, block.max[n] ?? 0].map(
      (end) => (end - (start[n] ?? 0)) / along,
    );
    from = Math.max(from, Math.min(...ends));
    until = Math.min(until, Math.max(...ends));
  }
  return from < until ? from : null;
}

test("what is painted last at any point is what a ray through that point meets first", () => {
  for (const [n, view] of (
    [
      { turn: 0.5, tilt: 0.45 },
      { turn: -2.2, tilt: 0.2 },
      { turn: 1.3, tilt: 1.2 },
      { turn: 3.6, tilt: 0.9 },
    ] as View[]
  ).entries()) {
    const blocks = grid(60, 7 + n);
    const order = paintOrder(blocks, view);
    assert.equal(new Set(order).size, blocks.length);
    let met = 0;
    for (const target of blocks) {
      const middle = [0, 1, 2].map(
        (axis) => ((target.min[axis] ?? 0) + (target.max[axis] ?? 0)) / 2,
      );
      const at = flat(view, [middle[0] ?? 0, middle[1] ?? 0, middle[2] ?? 0]);
      const painted = order.filter((one) =>
        faces(one, view).some((face) => within(at, face.corners)),
      );
      const rays = blocks.flatMap((one) => {
        const far = enters(one, view, at);
        return far === null ? [] : [{ one, far }];
      });
      const nearest = rays.sort((a, b) => a.far - b.far)[0]?.one;
      assert.equal(painted.at(-1)?.code, nearest?.code);
      met += rays.length > 1 ? 1 : 0;
    }
    assert.ok(met > 10, "many points lie behind another block");
  }
});

test("what comes off before a case: what stands on it, and every row nearer the door", () => {
  const at = (code: string, on: string[]) => ({ code, on, x: 0, y: 0, z: 0, dx: 1, dy: 1, dz: 1 });
  const sheet = {
    rows: [
      {
        number: 1,
        start_um: 0,
        places: [at("A", []), at("B", ["A"]), at("C", ["B"]), at("D", [])],
      },
      { number: 2, start_um: 600_000, places: [at("E", [])] },
    ],
  } as unknown as VehicleSheet;
  assert.deepEqual(standsOf(sheet, "A"), {
    row: 1,
    on: [],
    carries: ["B"],
    first: ["B", "C", "E"],
  });
  assert.deepEqual(standsOf(sheet, "E")?.first, []);
  assert.equal(standsOf(sheet, "nothing"), null);
});

test("letters tell departments apart, and ink contrasts with every fill", () => {
  const found = initials(["Light", "Lifts", "Sound", "Éclairage", "L", "電源", "+"]);
  assert.equal(new Set(found.values()).size, 7);
  assert.equal(found.get("Sound"), "S");
  assert.equal(inkOn("#f0e442"), "#000000");
  assert.equal(inkOn("#1d4f86"), "#ffffff");
});
