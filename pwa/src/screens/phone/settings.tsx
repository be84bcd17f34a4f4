/** Language, light, sound, vibration, spoken calls, gloves; and leaving the show. */
import type { Signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { prefer, session, signOutWhenEmpty, sound, unsent, voice } from "../../app-model";
import { t } from "../../i18n";
import { buzz, play, wakeSound } from "../../ui/feedback";
import type { IconName } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { buzzes, gloves } from "../shared/preferences";
import { LanguageChoice, PaletteChoice } from "../shared/preference-choices";

export function Settings() {
  const flip = (taste: Signal<boolean>) => () => {
    taste.value = !taste.value;
  };
  return (
    <Frame title={t("set.title")}>
      <LanguageChoice />
      <PaletteChoice />
      <div class="pair">
        <Switch icon="sound" word={t("set.sound")} on={sound.value} onFlip={flipSound} />
        <Switch icon="ear" word={t("set.speech")} on={voice.value} onFlip={flipVoice} />
        <Switch icon="phone" word={t("set.buzz")} on={buzzes.value} onFlip={flip(buzzes)} />
        <Switch icon="hand" word={t("set.gloves")} on={gloves.value} onFlip={flip(gloves)} />
      </div>
      <Button icon="sound" onPress={trySound}>
        {t("set.try")}
      </Button>
      <Button icon="truck" onPress={() => go("choose")}>
        {t("set.change")}
      </Button>
      <Leave />
    </Frame>
  );
}

function trySound(): void {
  wakeSound();
  if (sound.value) play("right");
  if (buzzes.value) buzz("right");
}
const flipSound = () => void prefer({ sound: !sound.value });
const flipVoice = () => void prefer({ voice: !voice.value });

function Switch(props: { icon: IconName; word: string; on: boolean; onFlip: () => void }) {
  return (
    <Button icon={props.icon} pressed={props.on} onPress={props.onFlip}>
      {props.word}
      <br />
      <b>{t(props.on ? "set.on" : "set.off")}</b>
    </Button>
  );
}

function Leave() {
  const [held, setHeld] = useState(false);
  const [asking, setAsking] = useState(false);
  const leave = async () => {
    if (await signOutWhenEmpty()) go("start", "", true);
    else setHeld(true);
  };
  return (
    <section class="stack">
      <p class="soft">{session.value?.name}</p>
      {held && <p class="trouble">{t("set.leave_unsent", { n: unsent.value })}</p>}
      {!asking && (
        <Button icon="out" onPress={() => setAsking(true)} id="leave">
          {t("set.leave")}
        </Button>
      )}
      {asking && (
        <div class="card card-hold stack">
          <p>{t("set.leave_sure")}</p>
          <Button tone="stop" icon="out" onPress={leave} id="leave-yes">
            {t("set.leave_yes")}
          </Button>
          <Button icon="back" onPress={() => setAsking(false)}>
            {t("set.leave_no")}
          </Button>
        </div>
      )}
    </section>
  );
}
