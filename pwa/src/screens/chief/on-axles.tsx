/** What the axles carry with what is really on board, against the plate. */
import type { AxleSheet, Bundle, VehicleSheet } from "../../core/bundle";
import type { AxleState, Leg } from "../../core/state";
import { leastShare, mostShare } from "../../core/weight";
import { language, t } from "../../i18n";
import { mass } from "../shared/format";
import { BarLine } from "./bar-line";
import { said, type Bar } from "./left";

type Units = Bundle["units"];
export function OnAxles({ one, leg, units }: { one: VehicleSheet; leg: Leg; units: Units }) {
  const { axles: sheet } = one;
  const { axles: now } = leg;
  if (!sheet || !now) return null;
  return (
    <section class="stack" data-axles={one.id}>
      <h3>{t("axle.title")}</h3>
      {bars(sheet, now, units).map((bar) => (
        <BarLine key={bar.word} bar={bar} />
      ))}
      {leg.on.length > 0 && <FrontShare sheet={sheet} now={now} />}
      {now.assumed.length > 0 && <p class="soft">{t("axle.assumed", { n: now.assumed.length })}</p>}
      <p class="soft">
        {t("brief.source")}: {t("axle.source")}
      </p>
    </section>
  );
}

function bars(sheet: AxleSheet, now: AxleState, units: Units): Bar[] {
  const rear = sheet.kind === "truck" ? t("axle.rear") : t("axle.trailer");
  const all: [string, number, number | null][] = [
    [t(`axle.front.${sheet.kind}`), now.front_g, sheet.front_limit_g],
    [rear, now.rear_g, sheet.rear_limit_g],
    [t("axle.gross"), now.gross_g, sheet.gross_limit_g],
  ];
  return all.map(([what, grams, limit]) => {
    const word = `${what}: ${mass(grams, units, "up")}`;
    if (limit === null) return { word, share: 0, left: t("axle.no_limit"), over: false };
    const free = limit - grams;
    const left = said(free, (value) => mass(value, units, free < 0 ? "up" : "down"));
    return { word, share: grams / limit, left, over: free < 0 };
  });
}

/** Too little in front sways or steers badly, too much on a tongue lifts: said in figures. */
function FrontShare({ sheet, now }: { sheet: AxleSheet; now: AxleState }) {
  const [low, high] = [leastShare(sheet), mostShare(sheet)];
  if (now.share === null || low === null) return null;
  const kept = now.share >= low && now.share <= (high ?? 1);
  const fill = { share: percent(now.share), low: percent(low), high: percent(high ?? 1) };
  const word = sheet.kind === "truck" ? "axle.steering" : "axle.share";
  return <p class={kept ? "" : "trouble"}>{t(kept ? word : `${word}_out`, fill)}</p>;
}

const percent = (share: number): string =>
  `${(share * 100).toLocaleString(language.value, { maximumFractionDigits: 1 })} %`;
