/** The end of the show: what the shop has to know in the morning, what is not put away, the close. */
import { useState } from "preact/hooks";
import { bundle, choose, report, state } from "../../app-model";
import type { State } from "../../core/state";
import { t } from "../../i18n";
import { Icon, type IconName } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { go, type ScreenName } from "../shared/navigation";
import { caseName, vehicleName } from "../shared/names";
import { isChief } from "../shared/who";

export function Closing() {
  const now = state.value;
  if (!now) return null;
  return (
    <>
      <Listed
        word={t("close.not_back", { n: now.not_back.length })}
        hold
        lines={now.not_back.map((code) => ({ code, more: "" }))}
      />
      <Listed
        word={t("close.damaged", { n: Object.keys(now.damaged).length })}
        lines={Object.values(now.damaged).map((one) => ({ code: one.code, more: one.note }))}
      />
      <GiveBack now={now} />
      <Button icon="note" onPress={() => go("papers")}>
        {t("papers.title")}
      </Button>
      {now.closed ? (
        <p class="card card-go" id="closed">
          {t("close.done", { name: now.closed.by })}
        </p>
      ) : (
        isChief.value && <Close now={now} />
      )}
    </>
  );
}

interface LineOf {
  code: string;
  more: string;
}

function Listed(props: { word: string; lines: readonly LineOf[]; hold?: boolean }) {
  const { word, lines, hold = false } = props;
  if (lines.length === 0) return null;
  return (
    <section class={hold ? "card card-hold stack" : "card stack"}>
      <h2>{word}</h2>
      <ul class="list">
        {lines.map(({ code, more }) => (
          <li key={code} class="item">
            <span class="grow">
              <span class="code">{code}</span> {caseName(code)}
              {more && `: ${more}`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Whose cases came back with ours. */
function GiveBack({ now }: { now: State }) {
  const owner = (code: string) => bundle.value?.cases[code]?.owner ?? now.added[code]?.owner ?? "";
  const back = now.put_away.flatMap(({ cases }) => cases).filter(({ code }) => owner(code) !== "");
  return (
    <Listed
      word={t("close.give_back", { n: back.length })}
      lines={back.map(({ code }) => ({ code, more: owner(code) }))}
    />
  );
}

interface Open {
  vehicle: string;
  cure: ScreenName;
  icon: IconName;
  word: string;
}

/** Vehicle by vehicle what is still open; a check of the whole show is said once. */
function stillOpen(now: State): Open[] {
  const said = new Set<string>();
  const found: Open[] = [];
  for (const leg of Object.values(now.legs.put_away)) {
    if (leg.due.length === 0) continue;
    const { vehicle } = leg;
    const cases = leg.held.filter((one) => one.gate === "cases").length;
    const checks = leg.held.filter(({ check }) => {
      const card = bundle.value?.checks.find((one) => one.id === check);
      if (!card || said.has(card.id)) return false;
      if (card.scope === "show") said.add(card.id);
      return true;
    }).length;
    const name = vehicleName(vehicle);
    if (cases > 0)
      found.push({
        ...{ vehicle, cure: "next", icon: "home" },
        word: t("close.cases", { n: cases, name }),
      });
    if (checks > 0)
      found.push({
        ...{ vehicle, cure: "checks", icon: "check" },
        word: t("close.checks", { n: checks, name }),
      });
  }
  return found;
}

/** With something open it takes a second tap, and says what closing means. */
function Close({ now }: { now: State }) {
  const [asking, setAsking] = useState(false);
  const open = stillOpen(now);
  const close = () => report({ kind: "closed" }, { move: "put_away" });
  const cure = async (one: Open) => {
    await choose({ move: "put_away", vehicle: one.vehicle });
    go(one.cure);
  };
  if (open.length === 0)
    return (
      <Button tone="main" icon="home" id="close" onPress={close}>
        {t("close.go")}
      </Button>
    );
  return (
    <section class="card card-ask stack" id="still-open">
      <h2>{t("close.open")}</h2>
      <ul class="list">
        {open.map((one) => (
          <li key={one.word}>
            <button type="button" class="item" onClick={() => cure(one)}>
              <Icon name={one.icon} size={32} />
              <span class="grow">{one.word}</span>
              <Icon name="next" />
            </button>
          </li>
        ))}
      </ul>
      {asking && <p>{t("close.means")}</p>}
      <Button
        tone={asking ? "stop" : "plain"}
        icon="lock"
        id="close"
        onPress={() => (asking ? close() : setAsking(true))}
      >
        {t(asking ? "close.yes" : "close.anyway")}
      </Button>
    </section>
  );
}
