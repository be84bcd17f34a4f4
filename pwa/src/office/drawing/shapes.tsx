/** Pieces of drawings to scale, in millimetres: a case with its code, a ruler. */
import type { PlaceSheet } from "../../core/bundle";
import type { Tint } from "./tint";

export const mm = (um: number): number => um / 1000;

export interface Box {
  x: number;
  y: number;
  wide: number;
  tall: number;
}

/** Letters are no smaller than this many units, and are drawn at least so many pixels high. */
export const LEAST = 46;
const LEAST_PX = 9;

interface Lettering {
  lines: readonly string[];
  size: number;
  along: boolean;
}

/** The first of several wordings that fits well, else the one that fits best; null: none does. */
export function lettering(box: Box, wordings: readonly (readonly string[])[]): Lettering | null {
  const along = box.tall > box.wide * 1.25;
  const [wide, tall] = along ? [box.tall, box.wide] : [box.wide, box.tall];
  const sized = wordings.map((lines) => {
    const longest = Math.max(...lines.map((line) => line.length), 1);
    const size = Math.min(
      130,
      (wide * 0.92) / (longest * 0.68),
      (tall * 0.86) / (lines.length * 1.08),
    );
    return { lines, size, along };
  });
  const best =
    sized.find((each) => each.size >= 78) ?? sized.sort((one, other) => other.size - one.size)[0];
  return best && best.size >= LEAST ? best : null;
}

/** A code in one line or broken behind a dash, with its drop where that is shown. */
export function codeWordings(code: string, drop: number | null, name = ""): string[][] {
  const half = code.indexOf("-", Math.floor(code.length / 3)) + 1;
  const broken = half > 0 && half < code.length ? [code.slice(0, half), code.slice(half)] : [code];
  const more = drop === null ? [] : [`drop ${drop}`];
  return [
    ...(name === "" ? [] : [[code, name, ...more]]),
    [code, ...more],
    [...broken, ...more],
    drop === null ? [code] : [`${code} ${drop}`],
    broken,
  ];
}

/** How wide in pixels a drawing must be, so that its smallest letters are 9 px high. */
export function leastWidth(view: number, smallest: number): number {
  return Math.ceil((view * LEAST_PX) / Math.max(LEAST, smallest));
}

/** Letters as large as the box takes them, upright or along its longer side. */
export function CodeLabel({ box, words, ink }: { box: Box; words: Lettering | null; ink: string }) {
  if (!words) return null;
  const { lines, size } = words;
  const x = box.x + box.wide / 2;
  const y = box.y + box.tall / 2;
  const turn = words.along ? `rotate(-90 ${x} ${y})` : undefined;
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

/** The letters of a colour in a corner of a case, so that nobody needs the colour. */
export function TintLetters({ box, tint }: { box: Box; tint: Tint }) {
  const size = Math.min(90, box.wide / 3, box.tall / 3);
  return (
    <text
      class="case-words"
      x={box.x + box.wide - size * 0.25}
      y={box.y + size}
      font-size={size}
      font-weight="bold"
      text-anchor="end"
      fill={tint.ink}
    >
      {tint.letters}
    </text>
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
