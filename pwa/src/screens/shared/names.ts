/** What a code stands for: the fleet's card, or a case that the crew added tonight. */
import { bundle, state } from "../../app-model";
import { t } from "../../i18n";

export function caseName(code: string): string {
  return bundle.value?.cases[code]?.name ?? state.value?.added[code]?.name ?? "";
}

export function caseGrams(code: string): number | null {
  return bundle.value?.cases[code]?.mass_g ?? state.value?.added[code]?.mass_g ?? null;
}

export function vehicleOf(id: string | null) {
  return bundle.value?.vehicles.find((sheet) => sheet.id === id) ?? null;
}

export const vehicleName = (id: string | null): string =>
  vehicleOf(id)?.name ?? id ?? t("noton.unseen");
