/** Paints a load on a canvas: floor and walls, every block with its code. */
import type { Tint } from "../tint";
import { faces, flat, paintOrder, within, type Block, type Flat, type View } from "./space";

export interface Scene {
  blocks: readonly Block[];
  /** Length, width and height of the load space, mm. */
  space: readonly [number, number, number];
  tints: ReadonlyMap<string, Tint>;
  chosen: string;
  /** What carries the chosen case and what stands on it. */
  near: ReadonlySet<string>;
  driverLeft: boolean;
}

export interface Palette {
  ground: string;
  ink: string;
  soft: string;
  line: string;
  block: string;
  chosen: string;
  chosenInk: string;
}

/** From millimetres of the picture to pixels. */
export interface Frame {
  scale: number;
  x: number;
  y: number;
}

const SHADE = [0.82, 0.68, 1]; // of the faces along x, y and z
const EDGE_PX = 18;

function corners([long, wide, high]: Scene["space"]): [number, number, number][] {
  return [0, wide].flatMap((x) =>
    [0, long].flatMap((y) => [0, high].map((z): [number, number, number] => [x, y, z])),
  );
}

/** The frame in which the whole load space fits. */
function frameOf(space: Scene["space"], view: View, wide: number, tall: number): Frame {
  const points = corners(space).map((point) => flat(view, point));
  const [xs, ys] = [points.map((one) => one.x), points.map((one) => one.y)];
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const scale = Math.min(
    (wide - 2 * EDGE_PX) / (right - left),
    (tall - 2 * EDGE_PX) / (bottom - top),
  );
  return {
    scale,
    x: wide / 2 - ((left + right) / 2) * scale,
    y: tall / 2 - ((top + bottom) / 2) * scale,
  };
}

const put = (frame: Frame, at: Flat): Flat => ({
  x: frame.x + at.x * frame.scale,
  y: frame.y + at.y * frame.scale,
});

function trace(to: CanvasRenderingContext2D, points: readonly Flat[]): void {
  to.beginPath();
  points.forEach((one, n) => (n === 0 ? to.moveTo(one.x, one.y) : to.lineTo(one.x, one.y)));
  to.closePath();
}

export function paint(
  to: CanvasRenderingContext2D,
  scene: Scene,
  view: View,
  palette: Palette,
): void {
  const { width, height } = to.canvas;
  const frame = frameOf(scene.space, view, width, height);
  to.fillStyle = palette.ground;
  to.fillRect(0, 0, width, height);
  paintSpace(to, scene, view, frame, palette);
  const drawn = paintOrder(scene.blocks, view).map((block) =>
    paintBlock(to, block, scene, view, frame, palette),
  );
  drawn.forEach((one, n) => label(to, one, drawn.slice(n + 1)));
}

/** The floor, the bulkhead and the upright edges. */
function paintSpace(
  to: CanvasRenderingContext2D,
  { space, driverLeft }: Scene,
  view: View,
  frame: Frame,
  palette: Palette,
): void {
  const [long, wide, high] = space;
  const at = (x: number, y: number, z: number) => put(frame, flat(view, [x, y, z]));
  to.lineWidth = 2;
  to.strokeStyle = palette.line;
  trace(to, [at(0, 0, 0), at(wide, 0, 0), at(wide, long, 0), at(0, long, 0)]);
  to.stroke();
  trace(to, [at(0, long, 0), at(wide, long, 0), at(wide, long, high), at(0, long, high)]);
  to.stroke();
  to.setLineDash([6, 6]);
  trace(to, [at(0, 0, 0), at(wide, 0, 0), at(wide, 0, high), at(0, 0, high)]);
  to.stroke();
  to.setLineDash([]);
  to.fillStyle = palette.soft;
  to.textAlign = "center";
  to.font = `${Math.max(11, 150 * frame.scale)}px "Rowcall Sans", sans-serif`;
  const words: [string, Flat][] = [
    ["door", at(wide / 2, 0, 0)],
    ["bulkhead", at(wide / 2, long, high)],
    [driverLeft ? "driver side" : "kerb side", at(0, long / 2, 0)],
    [driverLeft ? "kerb side" : "driver side", at(wide, long / 2, 0)],
  ];
  for (const [word, where] of words) to.fillText(word, where.x, where.y + 14);
}

/** A painted block: its faces in pixels, the box around them, its words and their colour. */
interface Drawn {
  faces: { points: Flat[]; light: number }[];
  box: readonly [number, number, number, number];
  words: string;
  ink: string;
}

function paintBlock(
  to: CanvasRenderingContext2D,
  block: Block,
  scene: Scene,
  view: View,
  frame: Frame,
  palette: Palette,
): Drawn {
  const tint = scene.tints.get(block.code);
  const chosen = block.code === scene.chosen;
  const fill = chosen ? palette.chosen : (tint?.fill ?? palette.block);
  to.strokeStyle = palette.ink;
  to.lineWidth = chosen || scene.near.has(block.code) ? 3 : 1;
  const sides = faces(block, view).map((face) => {
    const points = face.corners.map((one) => put(frame, one));
    const light = SHADE[face.axis] ?? 1;
    trace(to, points);
    to.fillStyle = fill;
    to.fill();
    if (light < 1) {
      to.fillStyle = `rgb(0 0 0 / ${1 - light})`;
      to.fill();
    }
    to.stroke();
    return { points, light };
  });
  const all = sides.flatMap((side) => side.points);
  const [xs, ys] = [all.map((one) => one.x), all.map((one) => one.y)];
  return {
    faces: sides,
    box: [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
    words: tint ? `${block.code} ${tint.letters}` : block.code,
    ink: chosen ? palette.chosenInk : (tint?.ink ?? palette.ink),
  };
}

const covers = (one: Drawn, at: Flat): boolean =>
  at.x > one.box[0] &&
  at.x < one.box[2] &&
  at.y > one.box[1] &&
  at.y < one.box[3] &&
  one.faces.some((face) => within(at, face.points));

/** How wide a face is at its middle, and where that is. */
function middleOf(points: readonly Flat[]): { at: Flat; wide: number; tall: number } {
  const sum = (of: (one: Flat) => number) => points.reduce((all, one) => all + of(one), 0);
  const at = { x: sum((one) => one.x) / points.length, y: sum((one) => one.y) / points.length };
  const cut = (of: (one: Flat) => number, along: (one: Flat) => number, level: number): number => {
    const met = points.flatMap((one, n) => {
      const next = points[(n + 1) % points.length] ?? one;
      const [a, b] = [along(one) - level, along(next) - level];
      return a * b < 0 ? [of(one) + ((of(next) - of(one)) * a) / (a - b)] : [];
    });
    return met.length < 2 ? 0 : Math.max(...met) - Math.min(...met);
  };
  const [x, y] = [(one: Flat) => one.x, (one: Flat) => one.y];
  return { at, wide: cut(x, y, at.y), tall: cut(y, x, at.x) };
}

/** The words on the face that takes them largest, unless a block in front hides them there. */
function label(to: CanvasRenderingContext2D, drawn: Drawn, later: readonly Drawn[]): void {
  let best: { at: Flat; size: number } | null = null;
  for (const face of drawn.faces) {
    const { at, wide, tall } = middleOf(face.points);
    // A slanted face is narrower at the top and bottom of the letters than at its middle.
    const size = Math.min(20, tall * 0.4, (wide * 0.78) / (drawn.words.length * 0.5));
    if (size >= 9 && size > (best?.size ?? 0) * (best ? 1.05 : 1)) {
      const half = (drawn.words.length * size * 0.5) / 2;
      const ends = [at.x - half, at.x, at.x + half].map((x) => ({ x, y: at.y }));
      if (!ends.some((end) => later.some((one) => covers(one, end)))) best = { at, size };
    }
  }
  if (!best) return;
  to.font = `${best.size}px "Rowcall Sans", sans-serif`;
  to.textAlign = "center";
  to.fillStyle = drawn.ink;
  to.fillText(drawn.words, best.at.x, best.at.y + best.size * 0.35);
}

/** The code of the block under a point of the canvas, "" for none. */
export function hit(to: HTMLCanvasElement, scene: Scene, view: View, point: Flat): string {
  const frame = frameOf(scene.space, view, to.width, to.height);
  for (const block of [...paintOrder(scene.blocks, view)].reverse())
    for (const face of faces(block, view))
      if (
        within(
          point,
          face.corners.map((one) => put(frame, one)),
        )
      )
        return block.code;
  return "";
}
