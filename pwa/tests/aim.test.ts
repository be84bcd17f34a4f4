// Which label counts: the geometry of CSS `object-fit: cover`, and the rules of the aim frame.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Aim, inPicture, lay, shownPart, widened, type Aimed } from "../src/scan/aim";
import { aimedAt } from "../src/scan/aimed-at";
import type { Hit, Region } from "../src/scan/hits";

const near = (got: Region, want: Region) => {
  for (const side of ["x", "y", "width", "height"] as const)
    assert.ok(Math.abs(got[side] - want[side]) < 1e-9, `${side}: ${got[side]} ${want[side]}`);
};

test("an upright screen shows the middle third of a picture that lies on its side", () => {
  // CSS Images 3, section 5.5: cover scales by the larger ratio and cuts the rest on both sides
  near(shownPart({ width: 1920, height: 1080 }, { width: 360, height: 640 }), {
    x: (1 - 0.31640625) / 2,
    y: 0,
    width: 0.31640625,
    height: 1,
  });
});

test("a wide view cuts an upright picture above and below", () => {
  near(shownPart({ width: 1080, height: 1920 }, { width: 640, height: 360 }), {
    x: 0,
    y: (1 - 0.31640625) / 2,
    width: 1,
    height: 0.31640625,
  });
});

test("the frame as drawn is mapped into the picture for any size and turn", () => {
  const frame = { x: 0.16, y: 0.25, width: 0.68, height: 0.5 };
  const lying = inPicture(
    shownPart({ width: 1920, height: 1080 }, { width: 400, height: 500 }),
    frame,
  );
  // 864 of 1920 pixels across are shown: the frame covers 587.5 of them about the centre
  near(lying, { x: 0.5 - 0.153, y: 0.25, width: 0.306, height: 0.5 });
  const upright = inPicture(
    shownPart({ width: 1080, height: 1920 }, { width: 400, height: 500 }),
    frame,
  );
  near(upright, { x: 0.16, y: 0.5 - 0.17578125, width: 0.68, height: 0.3515625 });
});

test("without a picture or a view the whole counts as shown, and a margin ends at the edge", () => {
  near(shownPart({ width: 0, height: 0 }, { width: 360, height: 640 }), whole());
  near(shownPart({ width: 1920, height: 1080 }, { width: 0, height: 0 }), whole());
  near(widened({ x: 0, y: 0.4, width: 0.5, height: 0.6 }, 0.5), {
    x: 0,
    y: 0.1,
    width: 0.75,
    height: 0.9,
  });
});

const whole = (): Region => ({ x: 0, y: 0, width: 1, height: 1 });

const FRAME: Region = { x: 0.25, y: 0.25, width: 0.5, height: 0.5 };

/** A label about a point of the picture. */
function label(text: string, x: number, y: number, size = 0.06): Hit {
  const half = size / 2;
  return {
    text,
    box: [
      [x - half, y - half],
      [x + half, y - half],
      [x + half, y + half],
      [x - half, y + half],
    ],
  };
}

const ANY = { next: () => true, known: () => true };
const AIMED = label("PW-031-7", 0.5, 0.5);

/** Look every 100 ms; returns what counted, in order. */
function watch(looks: Hit[][], next: string | null, aim = new Aim()): string[] {
  const taken: string[] = [];
  looks.forEach((hits, at) => {
    const { take } = aim.look(hits, at * 100, FRAME, {
      next: (text) => text === next,
      known: () => true,
    });
    if (take) taken.push(take.text);
  });
  return taken;
}

test("labels outside the frame never count, however long and however many", () => {
  const around = [
    label("A1", 0.1, 0.5),
    label("A2", 0.9, 0.5),
    label("A3", 0.5, 0.1),
    label("A4", 0.5, 0.95),
    label("A5", 0.24, 0.5),
  ];
  assert.deepEqual(watch(Array(40).fill(around), "A1"), []);
  const { outside } = new Aim().look(around, 0, FRAME, ANY);
  assert.deepEqual(outside.sort(), ["A1", "A2", "A3", "A4", "A5"]);
});

test("the case that is next counts at once in the middle, any other after 0.3 seconds", () => {
  assert.equal(watch([[AIMED]], "PW-031-7").length, 1);
  assert.equal(watch([[AIMED], [AIMED], [AIMED]], null).length, 0);
  assert.equal(watch([[AIMED], [AIMED], [AIMED], [AIMED]], null).length, 1);
});

test("the next case near the frame's edge is looked at twice as well", () => {
  const edge = label("PW-031-7", 0.72, 0.5);
  assert.deepEqual(watch([[edge]], "PW-031-7"), []);
  assert.deepEqual(watch([[edge], [edge], [edge], [edge]], "PW-031-7"), ["PW-031-7"]);
});

test("a label passed over does not count", () => {
  const pass = [0.3, 0.42, 0.54, 0.66, 0.8].map((x, at) => [label(`PW-${at}`, x, 0.5)]);
  assert.deepEqual(watch(pass, null), []);
  assert.deepEqual(watch([[AIMED], [], [], [], [], [], [AIMED]], null), []);
});

test("of several the nearest to the centre counts, and what lies beside it never does", () => {
  const both = [label("BESIDE", 0.7, 0.5), AIMED];
  assert.deepEqual(watch(Array(30).fill(both), "BESIDE"), ["PW-031-7"]);
});

test("two as near to the centre are a choice by tap, and the tap counts once", () => {
  const both = [label("LEFT", 0.44, 0.5), label("RIGHT", 0.57, 0.5)];
  const aim = new Aim();
  let last: Aimed | null = null;
  for (let at = 0; at < 8; at += 1) {
    last = aim.look(both, at * 100, FRAME, ANY);
    assert.equal(last.take, null);
  }
  assert.deepEqual(last?.choose, ["LEFT", "RIGHT"]);
  aim.chosen("RIGHT", 800);
  for (let at = 9; at < 30; at += 1)
    assert.notEqual(aim.look(both, at * 100, FRAME, ANY).take?.text, "RIGHT");
});

test("two labels of one case are one label", () => {
  const twice = [label("PW-031-7", 0.44, 0.5), label("PW-031-7", 0.57, 0.5)];
  assert.deepEqual(watch(Array(10).fill(twice), null), ["PW-031-7"]);
});

test("a sticker that is no case of ours stays quiet beside a case, and for two seconds after", () => {
  const judge = { next: () => false, known: (text: string) => text === "PW-031-7" };
  const sticker = label("SN 5581-0042", 0.5, 0.5);
  const aim = new Aim();
  const taken: (string | undefined)[] = [];
  const watched = (hits: Hit[], from: number, to: number) => {
    for (let at = from; at < to; at += 100) taken.push(aim.look(hits, at, FRAME, judge).take?.text);
  };
  watched([sticker, label("PW-031-7", 0.6, 0.5)], 0, 3_000);
  watched([sticker], 3_000, 4_800);
  assert.deepEqual(taken.filter(Boolean), ["PW-031-7"]);
  // alone, and held on purpose, it is answered
  watched([sticker], 4_800, 6_500);
  assert.deepEqual(taken.filter(Boolean), ["PW-031-7", "SN 5581-0042"]);
});

test("of a photo's labels the one in the middle is meant, or a tap decides", () => {
  const three = [label("LEFT", 0.2, 0.5), label("MIDDLE", 0.52, 0.5), label("RIGHT", 0.8, 0.5)];
  assert.deepEqual(aimedAt(three), ["MIDDLE"]);
  assert.deepEqual(aimedAt([label("A", 0.45, 0.5), label("B", 0.57, 0.5)]), ["A", "B"]);
  assert.deepEqual(aimedAt([]), []);
});

test("a label held for ten seconds counts once, and again after it was gone", () => {
  const aim = new Aim();
  assert.equal(watch(Array(100).fill([AIMED]), "PW-031-7", aim).length, 1);
  const at = (ms: number) => aim.look([AIMED], ms, FRAME, ANY).take;
  assert.equal(at(12_000), null);
  assert.equal(at(16_000)?.text, "PW-031-7");
});

test("a label that could not be kept counts again", () => {
  const aim = new Aim();
  const at = (ms: number) => aim.look([AIMED], ms, FRAME, ANY).take?.text;
  assert.equal(at(0), "PW-031-7");
  aim.forget("PW-031-7");
  assert.equal(at(100), "PW-031-7");
  assert.equal(at(200), undefined);
});

test("where a label lay is kept in thousandths of the frame", () => {
  assert.deepEqual(lay(AIMED, FRAME), [500, 500, 120]);
  assert.deepEqual(lay(label("EDGE", 0.26, 0.7, 0.1), FRAME), [20, 900, 200]);
});
