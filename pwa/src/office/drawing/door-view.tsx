/** One row as it is seen from the door, to scale, with codes and what is filled or strapped. */
import type { PlaceSheet, RowSheet, VehicleSheet } from "../../core/bundle";
import { Icon } from "../../ui/icon";
import { DropStripe, shownDrop } from "./drops";
import {
  CodeLabel,
  codeWordings,
  fromTheFloor,
  leastWidth,
  lettering,
  mm,
  TintLetters,
} from "./shapes";
import { tintBy, tintsOf } from "./tint";
import { byCode } from "../shared/state";
import { length } from "../shared/units";
import { massOfAll } from "../shared/weighed";

interface DoorProps {
  sheet: VehicleSheet;
  row: RowSheet;
  chosen?: string | null;
}

/** A case of the row as it is drawn, and the letters on it. */
function drawn(tall: number, place: PlaceSheet) {
  const box = {
    x: mm(place.x) + 6,
    y: tall - mm(place.z + place.dz) + 6,
    wide: mm(place.dx) - 12,
    tall: mm(place.dz) - 12,
  };
  const name = byCode.value.get(place.code)?.name ?? "";
  return { box, words: lettering(box, codeWordings(place.code, shownDrop(place.code), name)) };
}

function DoorView({ sheet, row, chosen = null }: DoorProps) {
  const wide = mm(sheet.width_um);
  const tall = mm(sheet.height_um);
  const sizes = row.places.map((place) => drawn(tall, place).words?.size ?? 84);
  const tints = tintsOf(tintBy.value, sheet.load);
  return (
    <svg
      style={{ minWidth: `${leastWidth(wide + 80, Math.min(84, ...sizes))}px` }}
      class="door-view"
      viewBox={`-40 -40 ${wide + 80} ${tall + 170}`}
      role="img"
      aria-label={`Row ${row.number} of ${sheet.name} seen from the door`}
    >
      <rect x="0" y="0" width={wide} height={tall} fill="var(--ground)" />
      {fromTheFloor(row.places).map((place) => {
        const { box, words } = drawn(tall, place);
        const on = place.code === chosen;
        const tint = on ? undefined : tints.get(place.code);
        return (
          <g key={place.code}>
            <rect
              x={box.x}
              y={box.y}
              width={box.wide}
              height={box.tall}
              rx="14"
              fill={
                tint?.fill ?? (on ? "var(--ask)" : place.z > 0 ? "var(--case-on)" : "var(--case)")
              }
              stroke="var(--steel)"
              stroke-width="8"
            />
            <DropStripe code={place.code} {...box} wide={Math.min(40, box.wide / 5)} />
            <CodeLabel
              box={box}
              words={words}
              ink={tint?.ink ?? (on ? "var(--ask-ink)" : "var(--ink)")}
            />
            {tint && <TintLetters box={box} tint={tint} />}
          </g>
        );
      })}
      <path d={`M0 ${tall}V0H${wide}V${tall}`} fill="none" stroke="var(--ink)" stroke-width="20" />
      <path d={`M-30 ${tall + 12}H${wide + 30}`} stroke="var(--ink)" stroke-width="26" />
      <g class="case-words" fill="var(--soft)">
        <text x="0" y={tall + 115} font-size="84">
          {sheet.driver_side === "left" ? "driver side" : "kerb side"}
        </text>
        <text x={wide} y={tall + 115} font-size="84" text-anchor="end">
          {sheet.driver_side === "left" ? "kerb side" : "driver side"}
        </text>
      </g>
    </svg>
  );
}

/** A row's drawing with its figures; the reason for the straps is one tap away. */
export function RowCard({ sheet, row, chosen = null }: DoorProps) {
  const weighs = massOfAll(row.places.map((place) => place.code));
  return (
    <section class="card row-card" aria-label={`Row ${row.number}`}>
      <header class="line">
        <span class="row-no">{row.number}</span>
        <span class="grow soft">
          {length(row.start_um)} to {length(row.start_um + row.depth_um)}, {weighs}
        </span>
        <span class="mini">
          <Icon name="strap" size={20} /> {row.straps}
        </span>
      </header>
      <div
        class="drawing-scrolls"
        tabIndex={0}
        role="group"
        aria-label={`Drawing of row ${row.number}`}
      >
        <DoorView sheet={sheet} row={row} chosen={chosen} />
      </div>
      <p class={row.fill ? "bad" : "soft"}>
        {row.slack_um === 0 ? "no slack" : `${length(row.slack_um)} of slack`}
        {row.fill && ": to be filled"}
      </p>
      <details>
        <summary>Why {row.straps === 1 ? "1 strap" : `${row.straps} straps`}</summary>
        <p>{row.why.derivation}</p>
        <p class="soft">{row.why.source}</p>
      </details>
    </section>
  );
}
