/** A vehicle from above, to scale: bulkhead on one end, door on the other, every case with its code. */
import type { ComponentChildren } from "preact";
import type { PlaceSheet, RowSheet, VehicleSheet } from "../../core/bundle";
import { markColour } from "../../ui/mark";
import { DropStripe, shownDrop } from "./drops";
import {
  type Box,
  CodeLabel,
  codeWordings,
  fromTheFloor,
  leastWidth,
  lettering,
  mm,
  Ruler,
  TintLetters,
} from "./shapes";
import { byCode } from "../shared/state";
import { length, lengthUnit } from "../shared/units";
import { tintBy, tintsOf, type Tint } from "./tint";

interface TopProps {
  sheet: VehicleSheet;
  label: string;
  /** Rows that stand out; null: none. */
  row?: number | null;
  chosen?: string | null;
  /** Rows that stay while the planner does the rest. */
  pinned?: readonly number[];
  onCase?: (code: string) => void;
  children?: ComponentChildren;
  class?: string;
}

export const EDGE = 150;

/** The left wall, seen from the door, is drawn below: the bulkhead stands on the left. */
function topBox(sheet: VehicleSheet, place: PlaceSheet): Box {
  return {
    x: mm(place.y),
    y: mm(sheet.width_um - place.x - place.dx),
    wide: mm(place.dy),
    tall: mm(place.dx),
  };
}

/** A case as it is drawn, and the letters on it. */
function drawn(sheet: VehicleSheet, place: PlaceSheet) {
  const box = topBox(sheet, place);
  const gap = place.z > 0 ? 26 : 8;
  const inside = {
    x: box.x + gap,
    y: box.y + gap,
    wide: Math.max(4, box.wide - 2 * gap),
    tall: Math.max(4, box.tall - 2 * gap),
  };
  return { inside, words: lettering(inside, codeWordings(place.code, shownDrop(place.code))) };
}

export function TopView(props: TopProps) {
  const { sheet, label, row = null, chosen = null, onCase, children } = props;
  const long = mm(sheet.length_um);
  const wide = mm(sheet.width_um);
  const sizes = sheet.rows.flatMap((each) =>
    each.places.map((place) => drawn(sheet, place).words?.size ?? 78),
  );
  const tints = tintsOf(tintBy.value, sheet.load);
  const least = leastWidth(long + 2 * EDGE + 200, Math.min(78, ...sizes));
  return (
    <svg
      style={{ minWidth: `${least}px` }}
      class={`top-view ${props.class ?? ""}`}
      viewBox={`${-EDGE - 120} ${-EDGE - 60} ${long + 2 * EDGE + 200} ${wide + 2 * EDGE + 260}`}
      role={onCase ? "group" : "img"}
      aria-label={label}
      data-vehicle={sheet.id}
    >
      <rect x="0" y="0" width={long} height={wide} fill="var(--ground)" />
      {sheet.rows.map((each) => (
        <RowBand key={each.number} each={each} wide={wide} on={each.number === row} />
      ))}
      {sheet.rows.flatMap((each) =>
        fromTheFloor(each.places).map((place) => (
          <Case
            key={place.code}
            {...{ sheet, place }}
            on={place.code === chosen}
            tint={tints.get(place.code)}
            {...(onCase ? { onCase } : {})}
          />
        )),
      )}
      <Walls long={long} wide={wide} colour={markColour(sheet.mark)} />
      {sheet.rows.map((each) => (
        <RowNumber
          key={each.number}
          each={each}
          on={each.number === row}
          pinned={props.pinned?.includes(each.number) ?? false}
        />
      ))}
      <Sides long={long} wide={wide} driverBelow={sheet.driver_side === "left"} />
      <Ruler x={0} y={wide + 190} long={long} unit={lengthUnit()} />
      {children}
    </svg>
  );
}

/** Which side of the vehicle is which. */
function Sides(props: { long: number; wide: number; driverBelow: boolean }) {
  const { long, wide, driverBelow } = props;
  return (
    <g class="case-words" fill="var(--soft)">
      <text x={long / 2} y={wide + 130} font-size="90" text-anchor="middle">
        {driverBelow ? "driver side" : "kerb side"}
      </text>
      <text
        x={-70}
        y={wide / 2}
        font-size="90"
        text-anchor="middle"
        transform={`rotate(-90 -70 ${wide / 2})`}
      >
        bulkhead
      </text>
      <text
        x={long + 110}
        y={wide / 2}
        font-size="90"
        text-anchor="middle"
        transform={`rotate(-90 ${long + 110} ${wide / 2})`}
      >
        door
      </text>
    </g>
  );
}

/** The number of a row above its line; rows are grasped by it, so it lies over everything. */
function RowNumber({ each, on, pinned }: { each: RowSheet; on: boolean; pinned: boolean }) {
  const x = mm(each.start_um);
  const deep = mm(each.depth_um);
  return (
    <g>
      <rect
        data-row-handle={each.number}
        x={x}
        y={-165}
        width={deep}
        height={150}
        fill="transparent"
      />
      {pinned && (
        <path
          data-pinned={each.number}
          d={`M${x + 14} -12V-150H${x + deep - 14}V-12`}
          fill="none"
          stroke="var(--ink)"
          stroke-width="16"
        />
      )}
      <text
        class="case-words"
        data-row-handle={each.number}
        x={x + deep / 2}
        y={-40}
        font-size="120"
        text-anchor="middle"
        fill={on ? "var(--ink)" : "var(--soft)"}
      >
        {each.number}
      </text>
    </g>
  );
}

function RowBand({ each, wide, on }: { each: RowSheet; wide: number; on: boolean }) {
  const x = mm(each.start_um);
  const deep = mm(each.depth_um);
  return (
    <g data-row={each.number}>
      <rect
        x={x}
        y={0}
        width={deep}
        height={wide}
        fill={on ? "var(--raise)" : "none"}
        stroke="var(--line)"
        stroke-width="6"
        stroke-dasharray="40 24"
      />
    </g>
  );
}

interface CaseProps {
  sheet: VehicleSheet;
  place: PlaceSheet;
  on: boolean;
  tint: Tint | undefined;
  onCase?: (code: string) => void;
}

function Case({ sheet, place, on, tint, onCase }: CaseProps) {
  const rides = place.z > 0;
  const { inside, words } = drawn(sheet, place);
  const name = byCode.value.get(place.code)?.name ?? "";
  return (
    <g
      class={onCase ? "case-box case-live" : "case-box"}
      data-code={place.code}
      onPointerDown={onCase ? () => onCase(place.code) : undefined}
    >
      <title>{`${place.code} ${name}, ${length(place.dx)} across, ${length(place.dy)} deep`}</title>
      <rect
        x={inside.x}
        y={inside.y}
        width={inside.wide}
        height={inside.tall}
        rx="14"
        fill={
          on ? markColour(sheet.mark) : (tint?.fill ?? (rides ? "var(--case-on)" : "var(--case)"))
        }
        stroke={on ? "var(--ink)" : "var(--steel)"}
        stroke-width={on ? 22 : 8}
        stroke-dasharray={rides ? "44 20" : undefined}
      />
      <DropStripe code={place.code} {...inside} wide={Math.min(26, inside.wide / 5)} />
      <CodeLabel
        box={inside}
        words={words}
        ink={on ? "var(--mark-ink)" : (tint?.ink ?? "var(--ink)")}
      />
      {tint && !on && <TintLetters box={inside} tint={tint} />}
    </g>
  );
}

/** Bulkhead and walls as a heavy line, the door open: its two leaves stand out. */
function Walls({ long, wide, colour }: { long: number; wide: number; colour: string }) {
  return (
    <g fill="none">
      <path d={`M${long} 0H0V${wide}H${long}`} stroke="var(--ink)" stroke-width="26" />
      <path d={`M${-22} ${wide * 0.1}V${wide * 0.9}`} stroke={colour} stroke-width="40" />
      <path d={`M${long} 0l90 -90M${long} ${wide}l90 90`} stroke="var(--ink)" stroke-width="26" />
    </g>
  );
}
