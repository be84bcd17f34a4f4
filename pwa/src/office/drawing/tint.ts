/** Colours of drawn cases by department, drop or weight; each colour comes with letters. */
import { signal } from "@preact/signals";
import { byCode } from "../shared/state";
import { massUnit } from "../shared/units";
import { dropOf } from "./drops";

export type TintBy = "none" | "department" | "drop" | "weight";
export const TINTS = [
  ["none", "No colours"],
  ["department", "Department"],
  ["drop", "Drop"],
  ["weight", "Weight"],
] as const satisfies readonly (readonly [TintBy, string])[];

export interface Tint {
  key: string;
  label: string;
  /** Stands on the case, so that nobody needs the colour. */
  letters: string;
  fill: string;
  ink: string;
}

export const tintBy = signal<TintBy>("none");

// Okabe and Ito, "Color Universal Design", 2008: told apart with every kind of colour blindness.
const APART = [
  "#e69f00",
  "#56b4e9",
  "#009e73",
  "#f0e442",
  "#0072b2",
  "#d55e00",
  "#cc79a7",
  "#b8b8b8",
];
// One hue, lighter to darker: told apart by lightness alone; common practice, no source.
const STEPS = ["#e8f1fa", "#b9d3ea", "#82acd4", "#4a7fb5", "#1d4f86"];
const UNKNOWN = "#ffffff";
// Where bands of weight end, as round numbers of each unit; common practice, no source.
const BANDS = { kg: [25, 50, 100, 200], lb: [50, 100, 200, 400] };
const GRAMS = { kg: 1000, lb: 453.59237 };

/** The colour of letters on a fill that contrasts more: WCAG 2.2, relative luminance. */
export function inkOn(fill: string): string {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const part = parseInt(fill.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b > 0.179 ? "#000000" : "#ffffff";
}

const tint = (key: string, label: string, letters: string, fill: string): Tint => ({
  key,
  label,
  letters,
  fill,
  ink: inkOn(fill),
});

/** The fewest first letters that tell the names apart, at most three; else a number behind. */
export function initials(names: readonly string[]): Map<string, string> {
  const found = new Map<string, string>();
  const taken = new Set<string>();
  for (const name of [...names].sort()) {
    const plain = [...name.normalize("NFKD").toUpperCase()].filter((one) =>
      /[\p{L}\p{N}]/u.test(one),
    );
    const tries = [1, 2, 3].map((count) => plain.slice(0, count).join(""));
    const numbered = Array.from(
      { length: names.length + 1 },
      (_, n) => `${plain[0] ?? "?"}${n + 2}`,
    );
    const free = [...tries, ...numbered].find((one) => one !== "" && !taken.has(one)) ?? "?";
    taken.add(free);
    found.set(name, free);
  }
  return found;
}

/** Every tint of the cases of a plan, and which each case has. */
export function tintsOf(by: TintBy, codes: readonly string[]): Map<string, Tint> {
  if (by === "drop") return byDrop(codes);
  if (by === "weight") return new Map(codes.map((code) => [code, band(code)]));
  if (by === "none") return new Map();
  const home = (code: string) => byCode.value.get(code)?.department ?? "";
  // Every vehicle of a plan is coloured alike: the departments of all its cases count.
  const names = [...new Set([...dropOf.value.keys(), ...codes].map(home))]
    .filter((name) => name !== "")
    .sort();
  const letters = initials(names);
  const none = tint("", "no department", "–", UNKNOWN);
  const each = new Map(
    names.map((name, n) => [
      name,
      tint(name, name, letters.get(name) ?? "?", APART[n % APART.length] ?? UNKNOWN),
    ]),
  );
  return new Map(codes.map((code) => [code, each.get(home(code)) ?? none]));
}

function byDrop(codes: readonly string[]): Map<string, Tint> {
  return new Map(
    codes.map((code) => {
      const drop = dropOf.value.get(code) ?? 1;
      const fill = APART[(drop - 1) % APART.length] ?? UNKNOWN;
      const label = drop === 1 ? "drop 1, off first" : `drop ${drop}`;
      return [code, tint(String(drop), label, String(drop), fill)];
    }),
  );
}

function band(code: string): Tint {
  const grams = byCode.value.get(code)?.mass_g ?? 0;
  if (grams === 0) return tint("0", "not weighed", "?", UNKNOWN);
  const unit = massUnit();
  const ends = BANDS[unit];
  const above = ends.filter((end) => grams > end * GRAMS[unit] + 0.5);
  const n = above.length;
  const [least, most] = [ends[n - 1], ends[n]];
  const from = least === undefined ? "" : `over ${least} ${unit}`;
  const label = most === undefined ? from : `${from} to ${most} ${unit}`.trim();
  return tint(String(n + 1), label, String(n + 1), STEPS[n] ?? UNKNOWN);
}
