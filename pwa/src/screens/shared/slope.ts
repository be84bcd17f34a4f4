/** The slope of a vehicle's ramp as the plan has it. */
import type { VehicleSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { said } from "../../i18n/said";

export function slopeWord(at: VehicleSheet): string {
  const slope = at.ramp && at.brief ? at.brief.slope : "";
  return slope === "" ? t("brief.no_ramp") : (said(slope) ?? slope);
}
