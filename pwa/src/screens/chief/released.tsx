/** After the release: when to look at the load again, by 49 CFR 392.9. */
import { leg, report, vehicle } from "../../app-model";
import { useState } from "preact/hooks";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Mark } from "../../ui/mark";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { useNow } from "../scan/undo";
import { isChief } from "../shared/who";
import { clock } from "../shared/format";
import { lookAgain, looked, nextLook } from "./look-again";

export function Released() {
  const at = vehicle.value;
  const given = leg.value?.released;
  const now = useNow(1);
  if (!at || !given) return <Frame title={t("released.title")} children={null} />;
  const due = nextLook(given.event, given.at);
  const left = Math.max(0, due.at - now);
  return (
    <Frame title={t("released.title")}>
      <section class="card card-go stack">
        <h2 class="line">
          <Mark mark={at.mark} size={56} />
          <span class="grow">
            {at.name}
            <br />
            {t("release.given", { name: given.by, when: clock(given.at) })}
          </span>
        </h2>
        <p class="soft digest">{given.digest}</p>
      </section>
      <section class={left === 0 ? "card card-hold stack" : "card card-ask stack"}>
        <h2 class="line">
          <Icon name="clock" size={48} />
          <span class="grow">{t(due.first ? "released.first" : "released.again")}</span>
        </h2>
        <p class="huge tab-num" role="timer">
          {Math.floor(left / 3_600_000)}:{two(left / 60_000)}:{two(left / 1000)}
        </p>
        <p>{t("released.rule")}</p>
        <p class="soft">{t("released.source")}</p>
        <Button icon="check" onPress={() => looked(given.event, Date.now())}>
          {t("released.looked")}
        </Button>
        {lookAgain(given.event).map((when) => (
          <p key={when}>{t("released.was", { when: clock(when) })}</p>
        ))}
      </section>
      <p class="caution">{t("release.caution")}</p>
      {isChief.value && <Recall />}
      <Button icon="note" onPress={() => go("papers")}>
        {t("papers.title")}
      </Button>
      <Button icon="truck" onPress={() => go("vehicles")}>
        {t("chief.title")}
      </Button>
    </Frame>
  );
}

const two = (value: number): string => String(Math.floor(value) % 60).padStart(2, "0");

function Recall() {
  const [asking, setAsking] = useState(false);
  const [why, setWhy] = useState("");
  if (!asking)
    return (
      <Button icon="undo" onPress={() => setAsking(true)}>
        {t("released.recall")}
      </Button>
    );
  const recall = async () => {
    if (await report({ kind: "recalled", why: why.trim() })) go("release", "", true);
  };
  return (
    <section class="card card-hold stack">
      <Field id="recall" label={t("released.recall_why")} value={why} onInput={setWhy} />
      <Button tone="stop" busy={why.trim() === ""} onPress={recall}>
        {t("released.recall")}
      </Button>
    </section>
  );
}
