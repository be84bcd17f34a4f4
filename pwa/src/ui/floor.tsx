/** The whole floor from above, bulkhead at the top: which rows are done, which one is worked. */
import type { VehicleSheet } from "../core/bundle";
import { markColour } from "./mark";

export type RowLook = "strapped" | "full" | "begun" | "empty";
const cm = (um: number): number => um / 10_000;

interface FloorProps {
  vehicle: VehicleSheet;
  look: (row: number) => RowLook;
  now?: number | null;
  label: string;
}

const FILL: Record<RowLook, string> = {
  strapped: "var(--case-on)",
  full: "var(--case)",
  begun: "none",
  empty: "none",
};

export function Floor({ vehicle, look, now = null, label }: FloorProps) {
  const wide = cm(vehicle.width_um);
  const long = cm(vehicle.length_um);
  return (
    <svg
      class="floor"
      viewBox={`-4 -16 ${long + 28} ${wide + 24}`}
      role="img"
      aria-label={label}
      preserveAspectRatio="xMidYMid meet"
    >
      <path
        d={`M0 0H${long}M0 0V${wide}M0 ${wide}H${long}`}
        fill="none"
        stroke="var(--ink)"
        stroke-width="6"
      />
      {vehicle.rows.map((row) => {
        const is = look(row.number);
        const here = row.number === now;
        return (
          <g key={row.number}>
            <rect
              x={cm(row.start_um) + 3}
              y={5}
              width={Math.max(3, cm(row.depth_um) - 6)}
              height={wide - 10}
              fill={here ? markColour(vehicle.mark) : FILL[is]}
              stroke={is === "empty" ? "var(--line)" : "var(--ink)"}
              stroke-width="4"
              stroke-dasharray={is === "empty" ? "10 8" : undefined}
            />
            {is === "strapped" && (
              <path
                d={`M${cm(row.start_um + row.depth_um / 2)} -10V${wide + 6}`}
                stroke="var(--ink)"
                stroke-width="7"
              />
            )}
          </g>
        );
      })}
      <path
        d={`M${long + 4} ${wide / 2 - 14}l14 14-14 14`}
        fill="none"
        stroke="var(--soft)"
        stroke-width="6"
      />
    </svg>
  );
}
