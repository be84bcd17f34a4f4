/** What is wrong with a number that was typed, in words beside its field. */
import type { Read } from "../../core/measures";

/** What the server takes at most: 1 km, 1,000 t. */
const MOST = 1e9;
type Least = "any" | "zero" | "above";

export interface Bounds {
  least?: Least;
  most?: number;
  /** What else is wrong with it, beside another field. */
  wrong?: string | false;
}

const AMONG = { any: "", zero: " of zero or more", above: " above zero" } as const;

/** Why an amount was not read, in words; empty where a plain "a number" says it. */
export function whyNot(read: Read, unit: string): string {
  if (read.ok) return "";
  if (read.reason === "ambiguous")
    return "Thousands or decimals? Write it without the mark, or with more or fewer digits.";
  if (read.reason === "typo") return `Letters among the digits: ${read.hint} ${unit}?`;
  if (read.reason === "about") return `Only about ${read.hint}: write the number that counts.`;
  return "";
}

/** What is wrong with a number, in words; empty where nothing is. */
export function faultOf(value: number | null, bounds: Bounds & { such: string }): string {
  const { least = "any", most = MOST, such, wrong } = bounds;
  if (value === null) return "";
  if (Number.isNaN(value) || (least === "zero" && value < 0) || (least === "above" && value <= 0))
    return `A ${such === "12" ? "whole " : ""}number${AMONG[least]}, such as ${such}`;
  return Math.abs(value) > most ? "A smaller number" : wrong || "";
}
