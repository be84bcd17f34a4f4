/** A vehicle's mark: shape and colour together, so that colour is never alone. */
export const MARKS = 8;

const SHAPES: readonly string[] = [
  "M16 2a14 14 0 1 0 .01 0Z", // disc
  "M3 3h26v26H3Z", // square
  "M16 2 31 30H1Z", // triangle
  "M16 1 31 16 16 31 1 16Z", // diamond
  "M8 3h16l8 13-8 13H8L0 16Z", // hexagon
  "M11 1h10v10h10v10H21v10H11V21H1V11h10Z", // cross
  "M2 5h28v11a14 14 0 0 1-28 0Z", // shield
  "M1 9h18V1l12 15-12 15v-8H1Z", // arrow
];
const WORDS = [
  "disc",
  "square",
  "triangle",
  "diamond",
  "hexagon",
  "cross",
  "shield",
  "arrow",
] as const;
type MarkWord = (typeof WORDS)[number];

const within = (mark: number): number => ((mark % MARKS) + MARKS) % MARKS;
export const markWord = (mark: number): MarkWord => WORDS[within(mark)] ?? "disc";
export const markColour = (mark: number): string => `var(--mark-${within(mark)})`;
const markShape = (mark: number): string => SHAPES[within(mark)] ?? "";

export function Mark({ mark, size = 32, fill }: { mark: number; size?: number; fill?: string }) {
  return (
    <svg width={size} height={size} viewBox="0 0 32 32" aria-hidden="true" class="mark">
      <path d={markShape(mark)} fill={fill ?? markColour(mark)} />
    </svg>
  );
}
