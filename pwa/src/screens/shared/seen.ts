/** Where a case was last seen, in words: on its vehicle, off at the venue, at the shop. */
import type { Seen } from "../../core/state";
import { t } from "../../i18n";
import { vehicleName } from "./names";

export function seenPlace({ where, what, place, vehicle }: Seen): string {
  if (where === "vehicle") return vehicleName(vehicle);
  if (where === "place") return place ?? "";
  if (where === "home") return t("seen.home");
  const off = what === "off" && vehicle !== null;
  if (where === "shop") return t("seen.shop");
  return off ? t("seen.off_venue", { name: vehicleName(vehicle) }) : t("seen.venue");
}
