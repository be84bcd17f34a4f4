/** The slope of a vehicle's ramp as the plan has it. */
import type { VehicleSheet } from "../core/bundle";
import { t } from "../i18n";

/** `1 in 3.9 (14.5 degrees)`: as the server says it, here in the crew's own words. */
export function slopeWord(at: VehicleSheet): string {
  const slope = at.ramp && at.brief ? at.brief.slope : "";
  if (slope === "") return t("brief.no_ramp");
  const [run, angle] = slope.match(/\d+\.\d+/g) ?? [];
  return run && angle ? t("brief.slope", { run, angle }) : slope;
}
