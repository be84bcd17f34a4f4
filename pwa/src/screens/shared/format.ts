/** Values as the crew reads them: units of the show, sides, stances, how long ago. */
import type { Bundle, PlaceSheet, Side } from "../../core/bundle";
import { language, t } from "../../i18n";

type Units = Bundle["units"];
type Rounding = "up" | "down" | "near";

const UM_PER = { in: 25_400, cm: 10_000, mm: 1_000 } as const;
const G_PER = { lb: 453.592_37, kg: 1_000 } as const;
/** A hundredth of what is shown is a rounding of ours: 285 lb kept in grams is not 286 lb. */
const HAIR = 0.01;
const ROUND: Record<Rounding, (value: number) => number> = {
  up: (value) => Math.ceil(value - HAIR),
  down: (value) => Math.floor(value + HAIR),
  near: Math.round,
};

/** Mass for people; what is used rounds up and what is left rounds down, to the safe side. */
export function mass(grams: number, units: Units, rounding: Rounding = "near"): string {
  const value = ROUND[rounding](grams / G_PER[units.mass]);
  return `${value.toLocaleString(language.value)} ${units.mass}`;
}

export function length(um: number, units: Units, rounding: Rounding = "near"): string {
  const per = UM_PER[units.length];
  const steps = units.length === "in" ? 4 : 1;
  const value = ROUND[rounding]((um / per) * steps) / steps;
  return `${value.toLocaleString(language.value)} ${units.length}`;
}

export const sideWord = (side: Side): string => t(`side.${side}`);

export function stanceWord(place: Pick<PlaceSheet, "stance" | "turned">): string {
  const word = t(`stance.${place.stance}`);
  return place.turned ? `${word}, ${t("stance.turned")}` : word;
}

/** How long ago in the coarsest step that still tells something. */
export function ago(at: number, now: number): string {
  const minutes = Math.floor(Math.max(0, now - at) / 60_000);
  if (minutes < 1) return t("ago.now");
  if (minutes < 60) return t("ago.minutes", { n: minutes });
  if (minutes < 24 * 60) return t("ago.hours", { n: Math.floor(minutes / 60) });
  return t("ago.days", { n: Math.floor(minutes / 1440) });
}

export const clock = (at: number): string =>
  new Date(at).toLocaleTimeString(language.value, { hour: "2-digit", minute: "2-digit" });

/** Text that the owner wrote, in this language or the first there is. */
export function owned(text: Readonly<Record<string, string>>): string {
  return text[language.value] ?? text["en"] ?? Object.values(text)[0] ?? "";
}
