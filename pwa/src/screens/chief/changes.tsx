/** A new revision of the plan as a short list of moves, not as a plan to learn anew. */
import { bundle, leg, revisionNews, revisionSeen, vehicle } from "../../app-model";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Frame } from "../frame";
import { back } from "../go";
import { NextCardLine } from "../next-line";
import { NoPlace } from "../no-place";
import { onBoard } from "../sequence";

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
