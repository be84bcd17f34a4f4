/** The night's walk: fixed stops, each looked at and said. */
import { bundle, report, state } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { useNow } from "../scan/undo";
import { LastSeen } from "../rows/not-on";
import { ago, owned } from "../shared/format";
import { caseName } from "../shared/names";

export function Walk() {
  const now = useNow(30);
  const known = state.value?.walk ?? [];
  const open = known.filter((stop) => !stop.done).length;
  return (
    <Frame title={t("walk.title")}>
      <p class="tall">{t("walk.open", { n: open })}</p>
      <StillMissing />
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
              <SeenThere text={text ? owned(text) : stop.id} />
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

/** Cases of all vehicles that nobody accounts for. */
function missing(): string[] {
  const legs = Object.values(state.value?.legs.load_out ?? {});
  return legs.flatMap((leg) => leg.not_on.filter((one) => !one.accounted).map(({ code }) => code));
}

/** What the walk is for: every case still missing, and where it was last seen. */
function StillMissing() {
  const now = useNow(30);
  const codes = missing();
  if (codes.length === 0) return <p class="card card-go">{t("noton.none")}</p>;
  return (
    <section class="card card-hold stack" id="still-missing">
      <h2>{t("walk.missing", { n: codes.length })}</h2>
      <ul class="list">
        {codes.map((code) => (
          <li key={code} class="item">
            <span class="grow">
              <span class="code">{code}</span> {caseName(code)}
              <br />
              <span class="soft">
                <LastSeen code={code} now={now} />
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Missing cases that somebody saw at this very stop. */
function SeenThere({ text }: { text: string }) {
  const there = missing().filter((code) => {
    const seen = state.value?.last_seen[code];
    const place = seen?.where === "place" ? (seen.place ?? "").trim().toLowerCase() : "";
    return (
      place !== "" && (text.toLowerCase().includes(place) || place.includes(text.toLowerCase()))
    );
  });
  return there.length === 0 ? null : (
    <p class="trouble">{t("walk.seen_there", { codes: there.join(", ") })}</p>
  );
}
