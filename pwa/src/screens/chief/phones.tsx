/** Phones of the show: who, what they have not sent, when they were last heard. */
import { useEffect, useState } from "preact/hooks";
import { devices, refreshDevices, session, state } from "../../app-model";
import type { DeviceHeard } from "../../app-model";
import { signPhoneOut } from "../../app-model-chief";
import { howMany } from "../../core/running-numbers";
import { t } from "../../i18n";
import { said } from "../../i18n/said";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { LetIn } from "./let-in";
import { useNow } from "../scan/undo";
import { ago } from "../shared/format";

export function Phones() {
  const now = useNow(10);
  useEffect(() => void refreshDevices(), []);
  const heard = new Set(devices.value.map((one) => one.device));
  const silent = Object.values(state.value?.devices ?? {}).filter((one) => !heard.has(one.device));
  return (
    <Frame title={t("phones.title")}>
      <ul class="list">
        {devices.value.map((one) => (
          <li key={one.device} class="stack">
            <div class="line phone">
              <Icon name="phone" size={40} />
              <span class="grow">
                <b>{one.name}</b>
                <br />
                <span class="soft">{t("phones.heard", { ago: ago(one.heard_at, now) })}</span>
              </span>
              <span class={one.unsent > 0 ? "tag tag-hold" : "tag"}>
                {one.unsent > 0 ? t("link.unsent", { n: one.unsent }) : t("link.sent")}
              </span>
            </div>
            {one.device !== session.value?.device && <SignOut one={one} />}
          </li>
        ))}
        {silent.map((one) => (
          <li key={one.device} class="line phone">
            <Icon name="phone" size={40} />
            <span class="grow">
              <b>{one.by}</b>
              <br />
              <span class="soft">{t("phones.report", { ago: ago(one.at, now) })}</span>
            </span>
            {one.gaps.length > 0 && (
              <span class="tag tag-hold">{t("phones.gaps", { n: howMany(one.gaps) })}</span>
            )}
          </li>
        ))}
      </ul>
      <Button icon="undo" onPress={() => refreshDevices()}>
        {t("link.try")}
      </Button>
      <LetIn />
    </Frame>
  );
}

/** For a phone that was lost or went home: asked twice, because its crew has to join again. */
function SignOut({ one }: { one: DeviceHeard }) {
  const [asking, setAsking] = useState(false);
  const [no, setNo] = useState("");
  if (one.out) return <p class="soft">{t("phones.is_out")}</p>;
  const out = async () => {
    const got = await signPhoneOut(one.device);
    setAsking(false);
    const why = got.ok || got.why === null ? t("phones.no_server") : (said(got.why) ?? got.why);
    setNo(got.ok ? "" : t("phones.out_failed", { why }));
  };
  return (
    <>
      {no && (
        <p class="trouble" role="alert">
          {no}
        </p>
      )}
      {!asking && (
        <Button
          icon="out"
          label={`${t("phones.out")}: ${one.name}`}
          onPress={() => setAsking(true)}
        >
          {t("phones.out")}
        </Button>
      )}
      {asking && (
        <section class="card card-hold stack">
          <p>{t("phones.out_ask", { name: one.name })}</p>
          {one.unsent > 0 && <p class="trouble">{t("link.unsent", { n: one.unsent })}</p>}
          <Button icon="out" tone="stop" id="sign-out" onPress={out}>
            {t("phones.out_yes")}
          </Button>
          <Button icon="back" onPress={() => setAsking(false)}>
            {t("phones.out_no")}
          </Button>
        </section>
      )}
    </>
  );
}
