/** Tonight against last time: of vehicles and moves, never of people. */
import type { Bundle } from "../../core/bundle";
import type { Leg } from "../../core/state";
import { language, t } from "../../i18n";

const whole = (minutes: number): number => Math.max(1, Math.round(minutes));

/** From the first case to the release, or to the last case so far; as the server counts it. */
export function minutesTaken(leg: Leg): number {
  const begin = leg.first_at ?? 0;
  return whole(((leg.released?.at ?? leg.last_at ?? begin) - begin) / 60_000);
}

interface LastTimeProps {
  vehicle: string;
  leg: Leg;
  bundle: Bundle;
}

export function LastTimeLine({ vehicle, leg, bundle }: LastTimeProps) {
  const last = bundle.last_times?.find((one) => one.vehicle === vehicle && one.move === leg.move);
  if (!last) return null;
  const fill = { when: day(last.date), done: last.cases, n: whole(last.minutes) };
  return <p class="soft last-time">{t("chief.last_time", fill)}</p>;
}

function day(date: string): string {
  const at = Date.parse(date);
  if (Number.isNaN(at)) return date;
  const shape = { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" } as const;
  return new Date(at).toLocaleDateString(language.value, shape);
}
