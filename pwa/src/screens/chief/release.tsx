/** Release: every reason why not, each with its cure; then the signatures. */
import { useState } from "preact/hooks";
import {
  bundle,
  devices,
  leg,
  move,
  report,
  session,
  state,
  unsent,
  vehicle,
} from "../../app-model";
import { releaseReasons } from "../../core/release";
import type { Held } from "../../core/state";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Mark } from "../../ui/mark";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { isChief } from "../shared/who";
import { sealNow } from "./digest";
import { reason } from "./reasons";
import { Signing, type Signed } from "./signing";

function reasons(): Held[] {
  const now = state.value;
  const sheet = bundle.value;
  const at = vehicle.value;
  const doing = move.value;
  if (!now || !sheet || !at || !doing) return [];
  const own = session.value?.device;
  const told = devices.value.filter((one) => one.unsent > 0 && one.device !== own);
  const held = releaseReasons(now, sheet, {
    move: doing,
    vehicle: at.id,
    unsent: told.map((one) => one.device),
  });
  return held.map((one) => (one.gate === "cases" ? { ...one, what: "missing" } : one));
}

export function Release() {
  const at = vehicle.value;
  const now = leg.value;
  const held = reasons();
  if (!at || !now) return <Frame title={t("release.title")} children={null} />;
  if (now.released && !now.changed_since_release) return <Given />;
  return (
    <Frame title={t("release.title")}>
      <h2 class="line">
        <Mark mark={at.mark} size={48} />
        <span class="grow">{at.name}</span>
      </h2>
      {held.length > 0 ? <HeldList held={held} /> : <Ready />}
      {unsent.value > 0 && <p class="note">{t("noton.unsent", { n: unsent.value })}</p>}
      <p class="caution">{t("release.caution")}</p>
    </Frame>
  );
}

/** So many cases are named one by one; more are one line that leads to the list. */
const NAMED = 4;

function HeldList({ held }: { held: readonly Held[] }) {
  const [letting, setLetting] = useState(false);
  const cases = held.filter((one) => one.gate === "cases");
  const named = cases.length > NAMED ? held.filter((one) => one.gate !== "cases") : held;
  const may = isChief.value && held.some(mayLetGo);
  return (
    <section class="card card-hold stack" role="status">
      <h2 class="line">
        <Icon name="lock" size={48} />
        <span class="grow">{t("release.held", { n: held.length })}</span>
      </h2>
      <ul class="list">
        {cases.length > NAMED && (
          <li>
            <button type="button" class="item" onClick={() => go("not_on")}>
              <Icon name="lost" size={32} />
              <span class="grow">{t("held.cases", { n: cases.length })}</span>
              <Icon name="next" />
            </button>
          </li>
        )}
        {named.map((one) => (
          <HeldItem
            key={`${one.gate} ${one.code} ${one.row} ${one.device} ${one.what}`}
            one={one}
            letting={letting}
          />
        ))}
      </ul>
      {may && (
        <Button icon="lock" pressed={letting} onPress={() => setLetting(!letting)} id="let-go">
          {t("release.override")}
        </Button>
      )}
    </section>
  );
}

const mayLetGo = (one: Held): boolean => one.overridable || one.gate === "unsent";

function HeldItem({ one, letting }: { one: Held; letting: boolean }) {
  const [asking, setAsking] = useState(false);
  const [why, setWhy] = useState("");
  const { icon, word, cure, arg } = reason(one);
  const letGo = async () => {
    const note = why.trim();
    const made =
      one.gate === "unsent" && one.device
        ? await report({ kind: "unsent_known", devices: [one.device], note })
        : await report({ kind: "overridden", gate: gateName(one), why: note });
    if (made) setAsking(false);
  };
  return (
    <li class="held">
      <button type="button" class="item" onClick={() => go(cure, arg)}>
        <Icon name={icon} size={32} />
        <span class="grow">{word}</span>
        <Icon name="next" />
      </button>
      {letting && !asking && mayLetGo(one) && (
        <button type="button" class="btn" onClick={() => setAsking(true)}>
          {t("release.let_go")}
        </button>
      )}
      {letting && asking && (
        <div class="stack">
          <Field id="why" label={t("release.override_why")} value={why} onInput={setWhy} />
          <p class="soft">{t("release.override_stays")}</p>
          <Button tone="stop" busy={why.trim().length < 3} onPress={letGo}>
            {t("release.override_go")}
          </Button>
        </div>
      )}
    </li>
  );
}

/** Straps and slack are let go row by row, never all at once. */
const gateName = (one: Held): string => (one.row === null ? one.gate : `${one.gate}:${one.row}`);

function Ready() {
  if (!isChief.value) return <p class="card card-go">{t("release.ask_chief")}</p>;
  const sign = async (signed: Signed) => {
    const seal = sealNow();
    if (await report({ kind: "released", ...signed, ...seal })) go("released", "", true);
  };
  return (
    <section class="card card-go stack">
      <h2 class="line">
        <Icon name="check" size={48} />
        <span class="grow">{t("release.ready")}</span>
      </h2>
      <Signing word={t("release.go")} onSign={sign} />
    </section>
  );
}

function Given() {
  return (
    <Frame title={t("release.title")}>
      <p class="card card-go">{t("held.already_released")}</p>
      <Button icon="clock" onPress={() => go("released")}>
        {t("released.title")}
      </Button>
    </Frame>
  );
}
