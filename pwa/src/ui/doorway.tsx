/** One row to scale as it is seen from the door: walls, cases on board, and the place of this case. */
import type { PlaceSheet, RowSheet, VehicleSheet } from "../core/bundle";
import { markColour } from "./mark";

/** Micrometres to drawing units (centimetres), so that strokes stay sensible for every vehicle. */
const cm = (um: number): number => um / 10_000;

const LEAF = 18;
const BELOW = 34;

interface DoorwayProps {
  vehicle: VehicleSheet;
  row: RowSheet;
  target?: string | null;
  isOn: (code: string) => boolean;
  label: string;
  high?: boolean;
}

export function Doorway({ vehicle, row, target = null, isOn, label, high = false }: DoorwayProps) {
  const wide = cm(vehicle.width_um);
  const tall = cm(vehicle.height_um);
  const inner = row.places.filter((place) => place.code !== target);
  const chosen = row.places.find((place) => place.code === target);
  const box = `${-LEAF - 4} -6 ${wide + 2 * LEAF + 8} ${tall + BELOW + 8}`;
  return (
    <svg
      class={high ? "doorway doorway-high" : "doorway"}
      viewBox={box}
      role="img"
      aria-label={label}
    >
      <Body wide={wide} tall={tall} />
      {inner.map((place) => (
        <Box key={place.code} place={place} tall={tall} kind={isOn(place.code) ? "on" : "open"} />
      ))}
      {chosen && <Target place={chosen} tall={tall} colour={markColour(vehicle.mark)} />}
      <Sides wide={wide} tall={tall} driverLeft={vehicle.driver_side === "left"} />
    </svg>
  );
}

/** The opened rear: two door leaves folded back, roof, walls, floor and a wheel each side. */
function Body({ wide, tall }: { wide: number; tall: number }) {
  const line = { fill: "none", stroke: "var(--line)", "stroke-width": 4 };
  return (
    <g>
      <path d={`M0 0 ${-LEAF} 10V${tall - 6}L0 ${tall}Z`} {...line} fill="var(--panel)" />
      <path
        d={`M${wide} 0 ${wide + LEAF} 10V${tall - 6}L${wide} ${tall}Z`}
        {...line}
        fill="var(--panel)"
      />
      <path d={`M0 0H${wide}V${tall}H0Z`} fill="var(--ground)" stroke="none" />
      <path d={`M0 ${tall}V0H${wide}V${tall}`} {...line} />
      <path d={`M-6 ${tall + 3}H${wide + 6}`} {...line} stroke="var(--ink)" stroke-width="7" />
    </g>
  );
}

function Box({ place, tall, kind }: { place: PlaceSheet; tall: number; kind: "on" | "open" }) {
  const on = kind === "on";
  return (
    <rect
      x={cm(place.x) + 2}
      y={tall - cm(place.z + place.dz) + 2}
      width={Math.max(2, cm(place.dx) - 4)}
      height={Math.max(2, cm(place.dz) - 4)}
      fill={on ? "var(--case-on)" : "none"}
      stroke={on ? "var(--ink)" : "var(--line)"}
      stroke-width="3"
      stroke-dasharray={on ? undefined : "9 7"}
    />
  );
}

/** The place of this case: filled in the vehicle's colour, with an arrow that drops into it.
 *
 * Nothing pulses here: an endless animation of a drawing took 15 % of a fast processor all night. */
function Target({ place, tall, colour }: { place: PlaceSheet; tall: number; colour: string }) {
  const x = cm(place.x);
  const y = tall - cm(place.z + place.dz);
  const middle = x + cm(place.dx) / 2;
  const size = Math.min(cm(place.dx), cm(place.dz)) * 0.34;
  const centre = y + cm(place.dz) / 2;
  return (
    <g>
      <rect
        x={x + 2}
        y={y + 2}
        width={cm(place.dx) - 4}
        height={cm(place.dz) - 4}
        fill={colour}
        stroke="var(--ink)"
        stroke-width="10"
      />
      <path
        d={
          `M${middle - size * 0.4} ${centre - size}h${size * 0.8}v${size}h${size * 0.6}` +
          `L${middle} ${centre + size} ${middle - size} ${centre}h${size * 0.6}Z`
        }
        fill="var(--mark-ink)"
      />
    </g>
  );
}

/** Steering wheel under the driver side, kerb stone under the kerb side. */
function Sides({ wide, tall, driverLeft }: { wide: number; tall: number; driverLeft: boolean }) {
  const driver = driverLeft ? 16 : wide - 16;
  const kerb = driverLeft ? wide - 18 : 18;
  const y = tall + 22;
  const turn = driverLeft ? 1 : -1;
  return (
    <g fill="none" stroke="var(--ink)" stroke-width="4">
      <circle cx={driver} cy={y} r="10" />
      <path d={`M${driver - 10} ${y}H${driver + 10}M${driver} ${y}v10`} />
      <path
        d={`M${kerb - 16 * turn} ${y + 9}h${14 * turn}v-12h${20 * turn}`}
        stroke-linejoin="miter"
      />
    </g>
  );
}
