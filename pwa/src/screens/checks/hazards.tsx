/** Hazards on the path, pinned for everyone until they are gone. */
import { useState } from "preact/hooks";
import { report, state } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { PhotoButton } from "../scan/photo";
import { PhotoView } from "../shared/photo-view";
import { useNow } from "../scan/undo";
import { ago } from "../shared/format";

export function Hazards() {
  const known = state.value?.hazards ?? [];
  const now = useNow(30);
  return (
    <Frame title={t("hazard.title")}>
      {known.length === 0 && <p>{t("hazard.none")}</p>}
      {known.map((one) => (
        <section key={one.hazard} class="card card-hold stack">
          <h2 class="line">
            <Icon name="hazard" size={48} />
            <span class="grow">{one.text}</span>
          </h2>
          {one.photo && <PhotoView photo={one.photo} text={one.text} />}
          <p class="soft">{t("check.by", { name: one.by, ago: ago(one.at, now) })}</p>
          <Button onPress={() => report({ kind: "hazard_gone", hazard: one.hazard })}>
            {t("hazard.gone")}
          </Button>
        </section>
      ))}
      <PinHazard />
    </Frame>
  );
}

function PinHazard() {
  const [text, setText] = useState("");
  const [photo, setPhoto] = useState<string | null>(null);
  const pin = async () => {
    const made = await report({
      kind: "hazard",
      hazard: crypto.randomUUID(),
      text: text.trim(),
      ...(photo ? { photo } : {}),
    });
    if (!made) return;
    setText("");
    setPhoto(null);
  };
  return (
    <section class="card stack">
      <h2>{t("hazard.add")}</h2>
      <Field id="hazard" label={t("hazard.text")} value={text} onInput={setText} />
      <PhotoButton taken={photo !== null} onPhoto={setPhoto} />
      <Button tone="main" icon="hazard" busy={text.trim() === ""} onPress={pin}>
        {t("hazard.pin")}
      </Button>
    </section>
  );
}
