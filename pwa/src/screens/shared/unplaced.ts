/** Cases of this show for which the plan has no place on any vehicle: never passed over in silence. */
import { computed } from "@preact/signals";
import { bundle } from "../../app-model";

export const unplaced = computed<readonly string[]>(() => {
  const sheet = bundle.value;
  if (!sheet) return [];
  const placed = new Set(sheet.vehicles.flatMap((one) => one.load));
  return Object.values(sheet.cases)
    .filter((card) => card.drop !== null && !placed.has(card.code))
    .map((card) => card.code);
});
