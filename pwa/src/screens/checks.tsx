/** The checks of this vehicle and move: two large answers each, and who gave them when. */
import { useState } from "preact/hooks";
import { bundle, leg, report } from "../app-model";
import type { Check } from "../core/bundle";
import type { CheckState } from "../core/state";
import { t } from "../i18n";
import { Icon } from "../ui/icon";
import { Button } from "../ui/parts";
import { Frame } from "./frame";
import { PhotoButton } from "./photo";
import { useNow } from "./undo";
import { ago, owned } from "./words";

export function Checks() {
  const now = leg.value;
  const sheet = bundle.value;
  const title = t("check.title");
  if (!now || !sheet) return <Frame title={title} top tabs children={null} />;
  const open = now.checks.filter((one) => one.open).length;
  return (
    <Frame title={title} top tabs>
      <h1>
        {title}: {t("check.open", { n: open })}
      </h1>
      {now.checks.length === 0 && <p>{t("check.none")}</p>}
      {now.checks.map((known) => {
        const check = sheet.checks.find((one) => one.id === known.id);
        return check && <CheckCard key={known.id} check={check} known={known} />;
      })}
    </Frame>
  );
}

function CheckCard({ check, known }: { check: Check; known: CheckState }) {
  const [photo, setPhoto] = useState<string | null>(null);
  const now = useNow(30);
  const answer = (ok: boolean) =>
    report({ kind: "answered", check: check.id, ok, ...(photo ? { photo } : {}) });
  const tone = known.open ? "card" : "card card-go";
  return (
    <section class={`${known.ok === false ? "card card-hold" : tone} stack`}>
      <h2 class="check-text">{owned(check.text)}</h2>
      {known.mark && (
        <p class="soft line">
          <Icon name={known.ok ? "check" : "close"} />
          {t("check.by", { name: known.mark.by, ago: ago(known.mark.at, now) })}
        </p>
      )}
      <div class="pair pair-two">
        <Button icon="check" pressed={known.ok === true} onPress={() => answer(true)}>
          {t("check.yes")}
        </Button>
        <Button icon="close" pressed={known.ok === false} onPress={() => answer(false)}>
          {t("check.no")}
        </Button>
      </div>
      {check.photo && <PhotoButton taken={photo !== null} onPhoto={setPhoto} />}
    </section>
  );
}
