/** Pieces of drawings to scale, in millimetres: a case with its code, a ruler. */
import type { PlaceSheet } from "../../core/bundle";

export const mm = (um: number): number => um / 1000;

export interface Box {
  x: number;
  y: number;
  wide: number;
  tall: number;
}

/** Letters as large as the box takes them, upright or along its longer side. */
export function CodeLabel({ box, lines, ink }: { box: Box; lines: string[]; ink: string }) {
  const along = box.tall > box.wide * 1.25;
  const [wide, tall] = along ? [box.tall, box.wide] : [box.wide, box.tall];
  const longest = Math.max(...lines.map((line) => line.length), 1);
  const size = Math.min(
    130,
    (wide * 0.92) / (longest * 0.68),
    (tall * 0.86) / (lines.length * 1.08),
  );
  if (size < 22) return null;
  const x = box.x + box.wide / 2;
  const y = box.y + box.tall / 2;
  const turn = along ? `rotate(-90 ${x} ${y})` : undefined;
  return (
    <g transform={turn} class="case-words" fill={ink}>
      {lines.map((line, index) => (
        <text
          key={index}
          x={x}
          y={y + (index - (lines.length - 1) / 2) * size * 1.08 + size * 0.35}
          font-size={size}
          text-anchor="middle"
        >
          {line}
        </text>
      ))}
    </g>
  );
}

/** How a case looks by its drop: a hatch that thickens with each later drop, never colour alone. */
export function Hatch({ id }: { id: string }) {
  return (
    <defs>
      {[1, 2, 3, 4].map((drop) => (
        <pattern
          key={drop}
          id={`${id}-${drop}`}
          width="60"
          height="60"
          patternUnits="userSpaceOnUse"
          patternTransform={`rotate(${drop % 2 ? 45 : -45})`}
        >
          <rect width="60" height="60" fill="var(--case)" />
          {drop > 1 && <path d="M0 0V60" stroke="var(--line)" stroke-width={drop * 5} />}
        </pattern>
      ))}
    </defs>
  );
}

/** Marks every half metre or every two feet along a length. */
export function Ruler(props: { x: number; y: number; long: number; unit: string }) {
  const { x, y, long, unit } = props;
  const step = unit === "in" ? 609.6 : 500;
  const count = Math.floor(long / step);
  const word = (index: number) =>
    unit === "in" ? String(index * 24) : unit === "cm" ? String(index * 50) : String(index * 500);
  return (
    <g stroke="var(--soft)" stroke-width="6" fill="var(--soft)" class="ruler">
      <path d={`M${x} ${y}h${long}`} />
      {Array.from({ length: count + 1 }, (_, index) => (
        <g key={index}>
          <path d={`M${x + index * step} ${y}v36`} />
          {index % 2 === 0 && (
            <text
              x={x + index * step}
              y={y + 120}
              font-size="78"
              text-anchor="middle"
              stroke="none"
            >
              {word(index)}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}

/** Floor cases first, so that riders are drawn over them. */
export const fromTheFloor = (places: readonly PlaceSheet[]): PlaceSheet[] =>
  [...places].sort((one, other) => one.z - other.z || one.x - other.x);
