/** The slope of a vehicle's ramp as the plan has it. */
import type { VehicleSheet } from "../../core/bundle";
import type { RampState } from "../../core/state";
import { t } from "../../i18n";
import { said } from "../../i18n/said";
import { measuredRamp } from "./hands-needed";

export function slopeWord(at: VehicleSheet): string {
  const measured = measuredRamp(at);
  if (measured) return measuredWord(measured);
  const slope = at.ramp && at.brief ? at.brief.slope : "";
  return slope === "" ? t("brief.no_ramp") : (said(slope) ?? slope);
}

/** The measured ramp in words: 1 in so many, degrees, and the floor before it. */
export function measuredWord(ramp: RampState): string {
  const sine = Math.min(1, ramp.rise_um / ramp.length_um);
  const floor = t(`ramp.floor_${ramp.floor}`);
  if (sine === 0) return t("ramp.level", { floor });
  const run = (Math.sqrt(1 - sine * sine) / sine).toFixed(1);
  const degrees = ((Math.asin(sine) * 180) / Math.PI).toFixed(1);
  return t("ramp.measured", { run, degrees, floor });
}
