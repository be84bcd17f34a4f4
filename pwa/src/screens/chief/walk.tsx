/** The night's walk: fixed stops, each looked at and said. */
import { bundle, report, state } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { useNow } from "../scan/undo";
import { ago, owned } from "../shared/format";

export function Walk() {
  const now = useNow(30);
  const known = state.value?.walk ?? [];
  const open = known.filter((stop) => !stop.done).length;
  return (
    <Frame title={t("walk.title")}>
      <p class="tall">{t("walk.open", { n: open })}</p>
      <ol class="stack">
        {known.map((stop, index) => {
          const text = bundle.value?.walk.find((one) => one.id === stop.id)?.text;
          const say = (ok: boolean) => report({ kind: "walked", stop: stop.id, ok });
          return (
            <li key={stop.id} class={stop.done ? "card card-go stack" : "card stack"}>
              <h2 class="line">
                <span class="row-no">{index + 1}</span>
                <span class="grow">{text ? owned(text) : stop.id}</span>
                {stop.done && <Icon name="check" size={32} />}
              </h2>
              {stop.mark && (
                <p class="soft">
                  {t("check.by", { name: stop.mark.by, ago: ago(stop.mark.at, now) })}
                </p>
              )}
              <div class="pair pair-two">
                <Button icon="check" pressed={stop.ok === true} onPress={() => say(true)}>
                  {t("walk.clear")}
                </Button>
                <Button icon="lost" pressed={stop.ok === false} onPress={() => say(false)}>
                  {t("walk.found")}
                </Button>
              </div>
            </li>
          );
        })}
      </ol>
    </Frame>
  );
}
