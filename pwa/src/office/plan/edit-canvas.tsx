/** A vehicle that can be changed: cases and rows are dragged, or moved by keys. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import {
  act,
  chosen,
  chosenRow,
  draft,
  floorOf,
  isPinned,
  redo,
  spotOf,
  turnPin,
  undo,
} from "./draft";
import { push, step, takeOut, turn } from "./edit-commands";
import { byCode } from "../shared/state";
import { TopView } from "../drawing/top-view";

interface Target {
  vehicle: string;
  row: number;
  at: number;
  fresh: boolean;
  lid: string | null;
}

const FAR_PX = 6;
/** Held this near to a side, a case draws the drawing along, where it is wider than the page. */
const SIDE_PX = 40;
const SCROLL_PX = 14;
const SCROLL_MS = 16;
/** This share of a row's depth at either end means: between the rows. */
const BETWEEN = 0.16;

export function EditDrawing({ sheet }: { sheet: VehicleSheet }) {
  const [hold, setHold] = useState<{ x: number; y: number; what: string } | null>(null);
  const [over, setOver] = useState<{ x: number; y: number } | null>(null);
  const frame = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!hold || !over || Math.hypot(over.x - hold.x, over.y - hold.y) < FAR_PX) return;
    // after scrolling, another row lies under the finger
    const scroll = () => frame.current && drawnAlong(frame.current, over.x) && setOver({ ...over });
    const timer = setInterval(scroll, SCROLL_MS);
    return () => clearInterval(timer);
  }, [hold, over]);
  const now = chosen.value;
  const row = now && "row" in now && now.vehicle === sheet.id ? now.row : null;
  const letGo = () => {
    setHold(null);
    setOver(null);
  };
  const drop = async (event: PointerEvent) => {
    const held = hold;
    letGo();
    if (!held || Math.hypot(event.clientX - held.x, event.clientY - held.y) < FAR_PX) return;
    const target = targetAt(event.clientX, event.clientY, held.what);
    if (target) await put(held.what, sheet.id, target);
  };
  return (
    <div
      ref={frame}
      class="edit-drawing"
      tabIndex={0}
      role="group"
      aria-label={`${sheet.name}: arrows choose, Shift and arrows move, R row, P pin, T turn, Delete out, Z undo`}
      data-edit={sheet.id}
      onKeyDown={(event) => void key(event, sheet.id)}
      onPointerDown={(event) => {
        const what = grabbed(event.target, sheet.id);
        if (!what) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        setHold({ x: event.clientX, y: event.clientY, what });
      }}
      onPointerMove={(event) => hold && setOver({ x: event.clientX, y: event.clientY })}
      onPointerUp={(event) => void drop(event)}
      onPointerCancel={letGo}
    >
      <TopView
        sheet={sheet}
        label={`${sheet.name} from above`}
        row={row}
        chosen={now && "code" in now ? now.code : null}
        class="live"
        pinned={sheet.rows.filter(isPinned).map((each) => each.number)}
      />
      {hold && over && (
        <span class="held" style={{ left: `${over.x + 14}px`, top: `${over.y + 14}px` }}>
          {hold.what}
          {told(targetAt(over.x, over.y, hold.what))}
        </span>
      )}
    </div>
  );
}

/** Scroll a drawing whose side the finger is at; true where there was something left to scroll. */
function drawnAlong(frame: HTMLElement, x: number): boolean {
  const { left, right } = frame.getBoundingClientRect();
  const before = frame.scrollLeft;
  if (x < left + SIDE_PX) frame.scrollLeft -= SCROLL_PX;
  else if (x > right - SIDE_PX) frame.scrollLeft += SCROLL_PX;
  return frame.scrollLeft !== before;
}

/** Move a row or a case to where it was let go. */
async function put(what: string, vehicle: string, target: Target): Promise<void> {
  const place = `${target.vehicle}, row ${target.row}`;
  if (what.startsWith("row ")) {
    const row = Number(what.slice(4));
    const to_vehicle = target.vehicle;
    await act(
      { do: "row", vehicle, row, to_vehicle, at: target.row },
      `${what} of ${vehicle} to ${place}`,
    );
    return;
  }
  const { lid, ...spot } = target;
  await act({ do: "move", code: what, ...spot, on: lid ? [lid] : [] }, `${what} to ${place}`);
}

function told(target: Target | null): string {
  if (!target) return ": nowhere";
  if (target.lid) return ` onto ${target.lid}`;
  return `: ${target.vehicle}, ${target.fresh ? "new row before" : "row"} ${target.row}`;
}

/** Choose what the finger came down on; its name comes back. */
function grabbed(target: EventTarget | null, vehicle: string): string | null {
  if (!(target instanceof Element)) return null;
  const handle = target.closest<SVGElement>("[data-row-handle]")?.dataset["rowHandle"];
  if (handle) {
    chosen.value = { vehicle, row: Number(handle) };
    return `row ${handle}`;
  }
  const code = target.closest<SVGElement>("[data-code]")?.dataset["code"] ?? null;
  chosen.value = code ? { code } : null;
  return code;
}

/** What lies under a point of the screen: vehicle, row, place across, or a lid to ride on. */
function targetAt(x: number, y: number, what: string): Target | null {
  const svg = document
    .elementsFromPoint(x, y)
    .map((each) => each.closest<SVGSVGElement>("svg.live"))
    .find((each) => each !== null);
  const sheet = draft.value?.sheets.find((each) => each.id === svg?.dataset["vehicle"]);
  const matrix = svg?.getScreenCTM();
  if (!svg || !sheet || !matrix) return null;
  const point = new DOMPoint(x, y).matrixTransform(matrix.inverse());
  const along = point.x * 1000;
  const across = sheet.width_um - point.y * 1000;
  const last = sheet.rows.at(-1);
  const end = last ? last.start_um + last.depth_um : 0;
  const found = sheet.rows.find((each) => along < each.start_um + each.depth_um);
  if (!found || along > end) {
    const next = (last?.number ?? 0) + 1;
    return { vehicle: sheet.id, row: next, at: 0, fresh: true, lid: null };
  }
  const share = (along - found.start_um) / found.depth_um;
  const fresh = share < BETWEEN || share > 1 - BETWEEN;
  const number = found.number + (share > 1 - BETWEEN ? 1 : 0);
  const under = found.places
    .filter(
      (each) =>
        each.code !== what &&
        across >= each.x &&
        across <= each.x + each.dx &&
        along >= each.y &&
        along <= each.y + each.dy,
    )
    .sort((one, other) => other.z - one.z)[0];
  const lid = !fresh && under && byCode.value.get(what)?.rides ? under.code : null;
  const at = floorOf(found).filter(
    (each) => each.code !== what && each.x + each.dx / 2 < across,
  ).length;
  return { vehicle: sheet.id, row: number, at, fresh, lid };
}

async function key(event: KeyboardEvent, vehicle: string): Promise<void> {
  const done = async (work: () => Promise<void> | void) => {
    event.preventDefault();
    await work();
  };
  const arrows: Record<string, [number, number]> = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, 1],
    ArrowDown: [0, -1],
  };
  const arrow = arrows[event.key];
  if (arrow) {
    const [along, across] = arrow;
    if (!event.shiftKey) return done(() => step(vehicle, along, across));
    if (along !== 0) return done(() => push(along < 0 ? "bulkhead" : "door"));
    const left = draft.value?.sheets.find((each) => each.id === vehicle)?.driver_side === "left";
    // the left wall is drawn below
    return done(() => push(across < 0 === left ? "driver" : "kerb"));
  }
  const letter = event.key.toLowerCase();
  if (letter === "t" && !event.ctrlKey) return done(turn);
  if (letter === "p" && !event.ctrlKey) return done(pinChosen);
  if (letter === "r" && !event.ctrlKey) return done(() => chooseRow(vehicle));
  if (event.key === "Delete") return done(takeOut);
  if (letter === "z") return done(event.shiftKey ? redo : undo);
}

/** Pin the row of what is chosen, or let it go. */
function pinChosen(): void {
  const row = chosenRow();
  if (row) turnPin(row);
}

/** From a case to its row, and back to the row's first case. */
function chooseRow(vehicle: string): void {
  const now = chosen.value;
  if (now && "code" in now) {
    const spot = spotOf(now.code);
    if (spot) chosen.value = { vehicle: spot.sheet.id, row: spot.row.number };
  } else if (now) {
    const sheet = draft.value?.sheets.find((each) => each.id === vehicle);
    const row = sheet?.rows.find((each) => each.number === now.row);
    const code = row ? floorOf(row)[0]?.code : undefined;
    if (code) chosen.value = { code };
  }
}
