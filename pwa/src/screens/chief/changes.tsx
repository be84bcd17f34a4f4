/** A new revision of the plan as a short list of moves, not as a plan to learn anew. */
import { bundle, leg, revisionNews, revisionSeen, vehicle } from "../../app-model";
import { t } from "../../i18n";
import type { PlanMove, Spot } from "../../core/plan-moves";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { back } from "../shared/navigation";
import { caseName } from "../shared/names";
import { NextCardLine } from "../next/line";
import { NoPlace } from "../shared/unplaced-note";
import { onBoard } from "../shared/sequence";
import { sideWord, stanceWord } from "../shared/format";

/** Cases on board that the new plan wants elsewhere, and what it adds: the only work there is. */
export function Changes() {
  const at = vehicle.value;
  const now = leg.value;
  const news = revisionNews.value;
  const seen = () => {
    revisionSeen();
    back();
  };
  const planned = new Set(at?.rows.flatMap((row) => row.places.map((place) => place.code)) ?? []);
  const off = now?.on.filter((code) => !planned.has(code)) ?? [];
  const still = at && now ? at.load.filter((code) => !onBoard(now, code)) : [];
  return (
    <Frame
      title={t("app.plan_new", { n: news?.to ?? bundle.value?.revision ?? 0 })}
      thumb={
        <Button tone="main" icon="check" onPress={seen}>
          {t("answer.ok")}
        </Button>
      }
    >
      <NoPlace />
      <Moved moves={news?.moves ?? []} />
      {off.length > 0 && <h2>{t("changes.off", { n: off.length })}</h2>}
      <ul class="list">
        {off.map((code) => (
          <NextCardLine key={code} code={code} />
        ))}
      </ul>
      <h2>{t("changes.on", { n: still.length })}</h2>
      <ul class="list">
        {still.map((code) => (
          <NextCardLine key={code} code={code} />
        ))}
      </ul>
    </Frame>
  );
}

/** Case by case from where to where, as far as this vehicle is concerned. */
function Moved({ moves }: { moves: readonly PlanMove[] }) {
  const at = vehicle.value?.id;
  const here = moves.filter(({ from, to }) => from?.vehicle === at || to?.vehicle === at);
  if (here.length === 0) return null;
  return (
    <section class="card card-ask stack" id="moved">
      <h2>{t("changes.moved", { n: here.length })}</h2>
      <ul class="list">
        {here.map((one) => (
          <li key={one.code}>
            <span class="code">{one.code}</span> {caseName(one.code)}
            <br />
            {t("changes.from_to", {
              from: one.from ? spot(one.from) : t("changes.new"),
              to: one.to ? spot(one.to) : t("changes.gone"),
            })}
            {stands(one.code)}
          </li>
        ))}
      </ul>
    </section>
  );
}

function spot({ vehicle: id, row, place }: Spot): string {
  const other = id === vehicle.value?.id ? null : nameOf(id);
  const words = [t("row.title", { row }), sideWord(place.side), stanceWord(place)];
  return [...(other === null ? [] : [other]), ...words].join(", ");
}

function nameOf(id: string): string {
  return bundle.value?.vehicles.find((one) => one.id === id)?.name ?? id;
}

/** What is on board already stands where it was put: the crew decides whether to shift it. */
function stands(code: string) {
  const row = leg.value?.row_of[code];
  if (row === undefined || row === null) return null;
  return <b> {t("changes.stands", { row })}</b>;
}
