/** Lengths and masses as this shop wants them read and typed. */
import * as measures from "../../core/measures";
import { shop } from "./state";

const UM = { in: 25_400, cm: 10_000, mm: 1_000 } as const;
const GRAMS = { lb: 453.592_37, kg: 1_000 } as const;
const DIGITS = { in: 2, cm: 1, mm: 0 } as const;

export const lengthUnit = (): keyof typeof UM => shop.value.units.length;
export const massUnit = (): keyof typeof GRAMS => shop.value.units.mass;

const EIGHTHS = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"] as const;

const short = (value: number, digits: number): string =>
  Number(value.toFixed(digits)).toLocaleString("en", { maximumFractionDigits: digits });

/** A length without its unit, for a column whose heading has it. */
export function bareLength(um: number): string {
  const eighths = Math.round((um / UM.in) * 8);
  // an inch has its fractions; a tape measure shows no tenths
  if (lengthUnit() === "in" && eighths % 8 !== 0 && Math.abs((um / UM.in) * 8 - eighths) < 0.01) {
    const whole = Math.floor(eighths / 8);
    const part = EIGHTHS[eighths - whole * 8] ?? "";
    return whole === 0 ? part : `${short(whole, 0)} ${part}`;
  }
  return short(um / UM[lengthUnit()], DIGITS[lengthUnit()]);
}

/** A mass without its unit; masses are rounded up, to the safe side. */
export function bareMass(g: number): string {
  const value = g / GRAMS[massUnit()];
  const whole = Math.ceil(value - 0.01);
  return short(whole - value < 0.02 ? whole : Math.ceil(value * 10 - 0.1) / 10, 1);
}

export const length = (um: number): string => `${bareLength(um)} ${lengthUnit()}`;
export const mass = (g: number): string => `${bareMass(g)} ${massUnit()}`;

/** A floor area: square feet where lengths are in inches, else square metres. */
export function area(mm2: number): string {
  return lengthUnit() === "in" ? `${short(mm2 / 92_903.04, 0)} ft²` : `${short(mm2 / 1e6, 1)} m²`;
}

/** What is typed into a field, exactly enough to come back the same. */
export function typedLength(um: number | null): string {
  return um === null ? "" : String(Number((um / UM[lengthUnit()]).toFixed(4)));
}

export function typedMass(g: number | null): string {
  return g === null ? "" : String(Number((g / GRAMS[massUnit()]).toFixed(2)));
}

/** A field's text read as people write amounts; null where it is empty or "not known", NaN where it is none. */
function amount(text: string, read: (plain: string) => measures.Read): number | null {
  const minus = /^\s*[-−]\s*(?=[\d.,])/.exec(text);
  const found = read(minus ? text.slice(minus[0].length) : text);
  if (found.ok) return minus ? -found.value : found.value;
  return found.reason === "blank" || found.reason === "unknown" ? null : Number.NaN;
}

/** Micrometres out of a field, as `22 1/2`, `45"`, `572mm` or `3' 6"` say. */
export const readLength = (text: string): number | null =>
  amount(text, (plain) => measures.readLength(plain, lengthUnit()));

/** Grams out of a field, to the nearest, as the server reads them. */
export const readMass = (text: string): number | null =>
  amount(text, (plain) => measures.readMass(plain, massUnit()));

/** A day as people read it; what is no day stays as it was written. */
export function day(text: string): string {
  const date = /^\d{4}-\d{2}-\d{2}$/.test(text) ? new Date(`${text}T12:00:00`) : null;
  if (!date) return text;
  const looks = { weekday: "short", day: "numeric", month: "short", year: "numeric" } as const;
  return date.toLocaleDateString("en-GB", looks);
}

export function moment(ms: number): string {
  const looks = { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" } as const;
  return new Date(ms).toLocaleString("en-GB", looks);
}
