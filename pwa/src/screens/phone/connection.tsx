/** What this phone has not sent, and how it stands with the server: two different things. */
import { link, notes, refused, retry, unsent } from "../../app-model";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { saveUnsent } from "./hand-over";
import { Said } from "../shared/server-text";
import { useNow } from "../scan/undo";
import { ago, clock } from "../shared/format";

export function Link() {
  const now = useNow(10);
  const { state, heard_at: heard } = link.value;
  return (
    <Frame title={t("link.title")}>
      <section class={unsent.value > 0 ? "card card-ask stack" : "card card-go stack"}>
        <p class="huge">{unsent.value}</p>
        <h2>{unsent.value > 0 ? t("link.unsent", { n: unsent.value }) : t("link.sent")}</h2>
        <p>
          {state === "reached" ? t("link.on") : t("link.off")}
          {heard !== null && ` (${ago(heard, now)})`}
        </p>
        <p class="soft">{t("link.safe")}</p>
      </section>
      <Button icon="undo" onPress={retry}>
        {t("link.try")}
      </Button>
      {unsent.value > 0 && (
        <>
          <Button icon="swap" onPress={() => go("hand_over")}>
            {t("hand.title")}
          </Button>
          <Button icon="out" onPress={saveUnsent}>
            {t("link.export")}
          </Button>
        </>
      )}
      {refused.value.length > 0 && (
        <section class="card card-hold stack">
          <h2>{t("link.refused")}</h2>
          <ul class="list">
            {refused.value.map((one) => (
              <li key={one.id}>
                <b>{one.event.body.kind}</b>: <Said text={one.reason} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {notes.value.length > 0 && (
        <ul class="list">
          {notes.value.map((note) => (
            <li key={note.at + note.text} class="note">
              {clock(note.at)} <Said text={note.text} />
            </li>
          ))}
        </ul>
      )}
    </Frame>
  );
}
