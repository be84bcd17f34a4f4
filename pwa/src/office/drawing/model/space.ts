/** Boxes in space on a flat picture: parallel projection, and which box hides which. */
import type { PlaceSheet, VehicleSheet } from "../../../core/bundle";

/** x from the left wall, y from the door inwards, z up; millimetres. */
export interface Block {
  code: string;
  row: number;
  min: readonly [number, number, number];
  max: readonly [number, number, number];
}

/** Where the viewer stands: turned about the upright, and above the floor; radians. */
export interface View {
  turn: number;
  tilt: number;
}

export interface Flat {
  x: number;
  y: number;
}

export const FROM_DOOR: View = { turn: 0.5, tilt: 0.45 };

function blockOf(sheet: VehicleSheet, row: number, place: PlaceSheet): Block {
  const far = (sheet.length_um - place.y) / 1000;
  return {
    code: place.code,
    row,
    min: [place.x / 1000, far - place.dy / 1000, place.z / 1000],
    max: [(place.x + place.dx) / 1000, far, (place.z + place.dz) / 1000],
  };
}

export const blocksOf = (sheet: VehicleSheet): Block[] =>
  sheet.rows.flatMap((row) => row.places.map((place) => blockOf(sheet, row.number, place)));

/** The direction in which the viewer looks. */
export function forward({ turn, tilt }: View): readonly [number, number, number] {
  return [-Math.sin(turn) * Math.cos(tilt), Math.cos(turn) * Math.cos(tilt), -Math.sin(tilt)];
}

/** A point on the picture, before scale: x to the right, y down. */
export function flat(view: View, [x, y, z]: readonly [number, number, number]): Flat {
  const { turn, tilt } = view;
  const across = x * Math.cos(turn) + y * Math.sin(turn);
  const inwards = -x * Math.sin(turn) + y * Math.cos(turn);
  return { x: across, y: -(inwards * Math.sin(tilt) + z * Math.cos(tilt)) };
}

/** Whether `a` cannot hide any of `b`: it lies wholly behind it along one of the three axes. */
function behind(a: Block, b: Block, look: readonly [number, number, number]): boolean {
  for (let axis = 0; axis < 3; axis++) {
    const along = look[axis] ?? 0;
    if (along > 1e-9 && (a.min[axis] ?? 0) >= (b.max[axis] ?? 0) - 0.5) return true;
    if (along < -1e-9 && (a.max[axis] ?? 0) <= (b.min[axis] ?? 0) + 0.5) return true;
  }
  return false;
}

const orders = new WeakMap<readonly Block[], Map<string, Block[]>>();

/** The blocks in an order in which each may be painted over those before it. */
export function paintOrder(blocks: readonly Block[], view: View): readonly Block[] {
  // Seen in parallel, the order depends only on which faces are seen.
  const seen = forward(view).map(Math.sign).join();
  const known = orders.get(blocks) ?? new Map<string, Block[]>();
  orders.set(blocks, known);
  const found = known.get(seen) ?? newOrder(blocks, view);
  known.set(seen, found);
  return found;
}

function newOrder(blocks: readonly Block[], view: View): Block[] {
  const look = forward(view);
  const hides: number[][] = blocks.map(() => []);
  const waits = new Array<number>(blocks.length).fill(0);
  for (let i = 0; i < blocks.length; i++)
    for (let j = i + 1; j < blocks.length; j++) {
      const [one, other] = [blocks[i], blocks[j]];
      if (!one || !other) continue;
      const first = behind(one, other, look);
      const second = behind(other, one, look);
      if (first === second) continue; // neither hides the other
      const [back, front] = first ? [i, j] : [j, i];
      hides[back]?.push(front);
      waits[front] = (waits[front] ?? 0) + 1;
    }
  return sorted(blocks, hides, waits);
}

function sorted(blocks: readonly Block[], hides: number[][], waits: number[]): Block[] {
  const free = blocks.map((_, n) => n).filter((n) => waits[n] === 0);
  const done = new Set<number>();
  const found: Block[] = [];
  while (found.length < blocks.length) {
    // Three blocks that hide each other in a ring are cut open anywhere.
    const next = free.pop() ?? blocks.findIndex((_, n) => !done.has(n));
    const block = blocks[next];
    if (!block || done.has(next)) continue;
    done.add(next);
    found.push(block);
    for (const front of hides[next] ?? []) {
      waits[front] = (waits[front] ?? 0) - 1;
      if (waits[front] === 0) free.push(front);
    }
  }
  return found;
}

/** The faces of a block that are seen, as corners in order; `axis`: what they face along. */
export function faces(block: Block, view: View): { axis: number; corners: Flat[] }[] {
  const look = forward(view);
  const { min, max } = block;
  return [0, 1, 2].map((axis) => {
    const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
    const near = (look[axis] ?? 0) < 0 ? max[axis] : min[axis];
    const corner = (a: number | undefined, b: number | undefined): Flat => {
      const point: [number, number, number] = [0, 0, 0];
      point[axis] = near ?? 0;
      point[u] = a ?? 0;
      point[v] = b ?? 0;
      return flat(view, point);
    };
    const corners = [
      corner(min[u], min[v]),
      corner(max[u], min[v]),
      corner(max[u], max[v]),
      corner(min[u], max[v]),
    ];
    return { axis, corners };
  });
}

/** Whether a point of the picture lies in a face: it is on the same side of every edge. */
export function within(point: Flat, corners: readonly Flat[]): boolean {
  let sign = 0;
  for (let n = 0; n < corners.length; n++) {
    const a = corners[n];
    const b = corners[(n + 1) % corners.length];
    if (!a || !b) return false;
    const side = (b.x - a.x) * (point.y - a.y) - (b.y - a.y) * (point.x - a.x);
    if (side !== 0 && sign !== 0 && Math.sign(side) !== sign) return false;
    if (side !== 0) sign = Math.sign(side);
  }
  return true;
}
