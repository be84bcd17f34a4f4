/** What a code stands for: the fleet's card, or a case that the crew added tonight. */
import { bundle, state } from "../../app-model";
import { Masses } from "../../core/weight";
import { t } from "../../i18n";

export function caseName(code: string): string {
  return bundle.value?.cases[code]?.name ?? state.value?.added[code]?.name ?? "";
}

/** As weighed tonight, or as the chief answers for; else by the card; 0 or null: not known. */
export function caseGrams(code: string): number | null {
  const scale = state.value?.weighed[code];
  if (scale) return scale.mass_g;
  return bundle.value?.cases[code]?.mass_g ?? state.value?.added[code]?.mass_g ?? null;
}

/** What a case weighs at worst, for limits; never zero. */
export function worstGrams(code: string): number {
  const [sheet, now] = [bundle.value, state.value];
  return sheet && now ? new Masses(sheet, now.added, now.weighed).worst_g(code) : 0;
}

export function vehicleOf(id: string | null) {
  return bundle.value?.vehicles.find((sheet) => sheet.id === id) ?? null;
}

export const vehicleName = (id: string | null): string =>
  vehicleOf(id)?.name ?? id ?? t("noton.unseen");
