/** Lengths and masses as this shop wants them read and typed. */
import { shop } from "./state";

const UM = { in: 25_400, cm: 10_000, mm: 1_000 } as const;
const GRAMS = { lb: 453.592_37, kg: 1_000 } as const;
const DIGITS = { in: 2, cm: 1, mm: 0 } as const;

export const lengthUnit = (): keyof typeof UM => shop.value.units.length;
export const massUnit = (): keyof typeof GRAMS => shop.value.units.mass;

const short = (value: number, digits: number): string =>
  Number(value.toFixed(digits)).toLocaleString("en", { maximumFractionDigits: digits });

/** A length without its unit, for a column whose heading has it. */
export function bareLength(um: number): string {
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

function number(text: string): number | null {
  const plain = text.trim().replace(",", ".");
  if (plain === "") return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : Number.NaN;
}

/** Micrometres out of a field; null where it is empty, NaN where it is no number. */
export function readLength(text: string): number | null {
  const value = number(text);
  return value === null ? null : Math.round(value * UM[lengthUnit()]);
}

/** Grams out of a field, to the nearest, as the server reads them. */
export function readMass(text: string): number | null {
  const value = number(text);
  return value === null ? null : Math.round(value * GRAMS[massUnit()]);
}

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
