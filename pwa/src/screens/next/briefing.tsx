/** Before the first case: what is heavy and dangerous tonight, the rules, and every figure behind. */
import { bundle, leg, vehicle } from "../../app-model";
import type { Brief, VehicleSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { worded } from "../shared/handling-card";
import { FigureCard } from "../shared/figures";
import { Frame } from "../shared/frame";
import { hardestNow, isSlippery } from "../shared/hands-needed";
import { caseGrams, worstGrams } from "../shared/names";
import { NextCardLine } from "./line";
import { slopeWord } from "../shared/slope";
import { mass } from "../shared/format";

const RULES = [1, 2, 3, 4, 5, 6, 7] as const;

export function Briefing() {
  const at = vehicle.value;
  return (
    <Frame title={t("brief.title")}>
      <p class="caution">{t("caution.planning")}</p>
      {at?.brief && <Tonight at={at} brief={at.brief} />}
      {at?.briefing.map((card) => (
        <FigureCard key={card.key} card={card} />
      ))}
    </Frame>
  );
}

function Tonight({ at, brief }: { at: VehicleSheet; brief: Brief }) {
  const hazards = brief.hazards.map(([name, n]) => worded("hz", name, n));
  if (isSlippery(at)) hazards.unshift(t("hands.wet_why"));
  const here = leg.value?.hands ?? null;
  const need = hardestNow(at, leg.value);
  if (here !== null && here < need) hazards.unshift(t("hands.too_few", { need, have: here }));
  return (
    <section class="stack" id="tonight">
      <p class="tall">{t("brief.hands", { n: need })}</p>
      <p>{rampWord(at, brief)}</p>
      {hazards.length > 0 && (
        <section class="card card-hold stack">
          <h2>{t("brief.hazards")}</h2>
          <ul class="list">
            {hazards.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </section>
      )}
      <Heaviest planned={brief.heaviest} />
      <Listed title={t("brief.refused")} codes={brief.refused} />
      <Listed title={t("brief.lifts")} codes={brief.lifts} />
      <section class="card stack">
        <h2>{t("brief.rules")}</h2>
        <ul class="list">
          {RULES.map((number) => (
            <li key={number}>{t(`rule.${number}`)}</li>
          ))}
        </ul>
      </section>
    </section>
  );
}

/** Of what is due now: a spare or a late case may be heavier than all that was planned. */
function Heaviest({ planned }: { planned: string | null }) {
  const due = leg.value?.due ?? [];
  const all = due.length > 0 ? due : planned ? [planned] : [];
  const [code] = [...all].sort((a, b) => worstGrams(b) - worstGrams(a) || (a < b ? -1 : 1));
  if (code === undefined) return null;
  const units = bundle.value?.units;
  const grams = caseGrams(code);
  const said = units && grams !== null ? mass(grams, units, "up") : "";
  return <Listed title={t("brief.heaviest", { mass: said })} codes={[code]} />;
}

function Listed({ title, codes }: { title: string; codes: readonly string[] }) {
  if (codes.length === 0) return null;
  return (
    <section class="stack">
      <h2>{title}</h2>
      <ul class="list">
        {codes.map((code) => (
          <NextCardLine key={code} code={code} />
        ))}
      </ul>
    </section>
  );
}

function rampWord(at: VehicleSheet, { slope }: Brief): string {
  const { ramp } = at;
  const units = bundle.value?.units;
  if (!ramp || slope === "" || !units) return t("brief.no_ramp");
  const rated = ramp.rating_g === null ? null : mass(ramp.rating_g, units, "down");
  const rating = rated === null ? t("brief.unrated") : t("brief.rated", { mass: rated });
  return `${t("brief.ramp", { slope: slopeWord(at) })}, ${rating}`;
}
