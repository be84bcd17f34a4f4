/** The lines of a list on their way into the fleet: what the server proposes, and what is mended. */
import { nextCode } from "./next-code";

export interface ListLine {
  row: number;
  /** Which of the cases that one row names. */
  part: number;
  code: string;
  name: string;
  department: string;
  home: string;
  note: string;
  length_um: number | null;
  width_um: number | null;
  height_um: number | null;
  mass_g: number | null;
  quantity: number;
  asks: { field: string; why: string }[];
}

export interface Proposal {
  sheets: { name: string; cases: number }[];
  sheet: string;
  heading: number;
  columns: { column: number; heading: string; role: string; sample: string[] }[];
  units: Record<string, string>;
  lines: ListLine[];
  skipped: { row: number; why: string; text: string }[];
  questions: { line: number; field: string; why: string }[];
  numbering: string;
}

/** What the owner chose; nothing chosen is found out by the server. */
export interface Choices {
  sheet?: string;
  heading?: number;
  columns?: Record<string, number>;
  units?: Record<string, string>;
}

/** What every case of a kind gets: what its lid carries, and whether it rides on lids. */
export interface KindStacking {
  lid_load_g: number | null;
  rides: boolean;
}

export const ROLES = [
  ["", "Not used"],
  ["code", "Number"],
  ["name", "Name"],
  ["department", "Department"],
  ["home", "Home"],
  ["length", "Length"],
  ["width", "Width"],
  ["height", "Height"],
  ["sides", "All sides in one"],
  ["mass", "Weight"],
  ["quantity", "Quantity"],
  ["note", "Note"],
] as const;

export const MOST_AT_ONCE = 2_000;

const kept = (code: string): string => code.toUpperCase().split(/\s+/).join(" ").trim();

/** What is still missing of a line, in words; empty where it can be saved. */
export function lacks(line: ListLine, codes: ReadonlyMap<string, number>): string {
  if (kept(line.code) === "") return "A number is needed.";
  if ((codes.get(kept(line.code)) ?? 0) > 1) return `${kept(line.code)} is on several lines.`;
  const open = (["length", "width", "height"] as const).filter((side) => !line[`${side}_um`]);
  return open.length > 0 ? `Needed: ${open.join(", ")}.` : "";
}

/** How often each number stands in the lines that are not left out. */
export function counted(lines: readonly ListLine[]): Map<string, number> {
  const codes = new Map<string, number>();
  for (const line of lines) codes.set(kept(line.code), (codes.get(kept(line.code)) ?? 0) + 1);
  return codes;
}

/** The lines with a number of the shop's own for each that has none. */
export function numbered(lines: readonly ListLine[], known: readonly string[]): ListLine[] {
  const codes = [...known, ...lines.map((line) => kept(line.code))];
  return lines.map((line) => {
    if (kept(line.code) !== "") return line;
    const letters = line.department
      .normalize("NFKD")
      .toUpperCase()
      .replace(/[^A-Z]/g, "");
    const code = nextCode(letters.slice(0, 2) || "C", codes);
    codes.push(code);
    return { ...line, code, asks: line.asks.filter((ask) => ask.field !== "code") };
  });
}

/** What is sent of a line; `kinds`: what cases of one name get together. */
export function sent(line: ListLine, kinds: ReadonlyMap<string, KindStacking>) {
  const stacking = kinds.get(line.name.toLowerCase());
  return {
    code: kept(line.code),
    length_um: line.length_um,
    width_um: line.width_um,
    height_um: line.height_um,
    mass_g: line.mass_g,
    name: line.name,
    department: line.department,
    home: line.home,
    note: line.note,
    lid_load_g: stacking?.lid_load_g ?? null,
    rides: stacking?.rides ? true : null,
  };
}
