/** Phones of the show: who, what they have not sent, when they were last heard. */
import { useEffect } from "preact/hooks";
import { devices, refreshDevices, state } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../frame";
import { LetIn } from "./let-in";
import { useNow } from "../undo";
import { ago } from "../words";

export function Phones() {
  const now = useNow(10);
  useEffect(() => void refreshDevices(), []);
  const heard = new Set(devices.value.map((one) => one.device));
  const silent = Object.values(state.value?.devices ?? {}).filter((one) => !heard.has(one.device));
  return (
    <Frame title={t("phones.title")}>
      <ul class="list">
        {devices.value.map((one) => (
          <li key={one.device} class="line phone">
            <Icon name="phone" size={40} />
            <span class="grow">
              <b>{one.name}</b>
              <br />
              <span class="soft">{t("phones.heard", { ago: ago(one.heard_at, now) })}</span>
            </span>
            <span class={one.unsent > 0 ? "tag tag-hold" : "tag"}>
              {one.unsent > 0 ? t("link.unsent", { n: one.unsent }) : t("link.sent")}
            </span>
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
              <span class="tag tag-hold">{t("phones.gaps", { n: one.gaps.length })}</span>
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
