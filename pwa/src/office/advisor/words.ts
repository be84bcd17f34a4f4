/** Intervals, amounts and volumes in words. */
import { bareLength, length, lengthUnit } from "../shared/units";

export interface Span {
  low_um: number;
  high_um: number;
  verdict?: Verdict;
}
export interface Cents {
  low_cents: number;
  high_cents: number;
  verdict?: Verdict;
}
export type Verdict = "less" | "more" | "tie" | "open";

const UM3_A_LITRE = 1e15;
const LITRES_A_CUBIC_FOOT = 28.316_846_592;

/** A length with its sign: a difference. */
const signed = (um: number): string =>
  um > 0 ? `+${bareLength(um)}` : um < 0 ? `−${bareLength(-um)}` : "0";

/** A floor, or what a floor is between. */
export const floor = ({ low_um, high_um }: Span): string =>
  low_um === high_um ? length(high_um) : `${bareLength(low_um)} to ${length(high_um)}`;

/** A difference of floor. */
export const difference = ({ low_um, high_um }: Span): string =>
  low_um === high_um
    ? `${signed(high_um)} ${lengthUnit()}`
    : `${signed(low_um)} to ${signed(high_um)} ${lengthUnit()}`;

export const VERDICTS: Record<Verdict, string> = {
  less: "less, proven",
  more: "more, proven",
  tie: "a tie: exactly the same",
  open: "not decided: the bounds overlap",
};

/** An amount with its currency. */
export const money = (cents: number, currency: string): string =>
  `${(cents / 100).toLocaleString("en", { minimumFractionDigits: 2 })} ${currency}`.trim();

export const moneySpan = ({ low_cents, high_cents }: Cents, currency: string): string =>
  low_cents === high_cents
    ? money(high_cents, currency)
    : `${money(low_cents, "")} to ${money(high_cents, currency)}`;

export const count = (low: number, high: number): string =>
  low === high ? `${high}` : `${low} to ${high}`;

/** Volume inside a case, as the shop counts lengths. */
export function volume(um3: number): string {
  const litres = um3 / UM3_A_LITRE;
  return lengthUnit() === "in"
    ? `${(litres / LITRES_A_CUBIC_FOOT).toFixed(1)} ft³`
    : `${Math.round(litres)} l`;
}
