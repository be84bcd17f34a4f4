/** Every vehicle at a glance: what is on, what is open, which limit comes first. */
import { bundle, choose, devices, move, state } from "../../app-model";
import { MOVES, type Bundle, type VehicleSheet } from "../../core/bundle";
import type { Leg } from "../../core/state";
import { t } from "../../i18n";
import { Floor } from "../../ui/floor";
import { Icon } from "../../ui/icon";
import { Mark, markColour } from "../../ui/mark";
import { Button, Choice } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go, type ScreenName } from "../shared/navigation";
import { NoPlace } from "../shared/unplaced-note";
import { rowLook } from "../shared/row-look";
import { leftKey, unloads } from "../shared/sequence";
import { useNow } from "../scan/undo";
import { ago, clock } from "../shared/format";
import { BarLine } from "./bar-line";
import { LastTimeLine, minutesTaken } from "./last-time";
import { left } from "./left";
import { OnAxles } from "./on-axles";

export function Vehicles() {
  const sheet = bundle.value;
  const now = useNow(20);
  const doing = move.value;
  if (!sheet) return <Frame title={t("chief.title")} tabs children={null} />;
  return (
    <Frame title={t("chief.title")} top tabs>
      <h1>{sheet.show.name}</h1>
      <Choice
        name={t("choose.title")}
        value={doing}
        options={MOVES.map((one) => ({ value: one, word: t(`move.${one}`) }))}
        onChange={(one) => choose({ move: one })}
      />
      <NoPlace />
      {sheet.vehicles.map((one) => {
        const leg = doing ? state.value?.legs[doing][one.id] : undefined;
        return leg && <VehicleCard key={one.id} one={one} leg={leg} bundle={sheet} now={now} />;
      })}
      <Phones now={now} />
      <div class="pair">
        <Button icon="walk" onPress={() => go("walk")}>
          {t("walk.title")}
        </Button>
        <Button icon="sign" onPress={() => go("sign_off")}>
          {t("sign.title")}
        </Button>
        <Button icon="hazard" onPress={() => go("hazards")}>
          {t("hazard.title")}
        </Button>
        <Button icon="more" onPress={() => go("more")}>
          {t("more.title")}
        </Button>
      </div>
    </Frame>
  );
}

interface CardProps {
  one: VehicleSheet;
  leg: Leg;
  bundle: Bundle;
  now: number;
}

function VehicleCard({ one, leg, bundle: sheet, now }: CardProps) {
  const open = async (screen: ScreenName) => {
    await choose({ vehicle: one.id });
    go(screen);
  };
  const missing = leg.not_on.filter((each) => each.status === "missing").length;
  const notYet = leg.not_on.filter((each) => each.status === "not_yet").length;
  const rows = leg.rows.filter((row) => row.on.length + row.due.length > 0);
  const loose = rows.filter((row) => row.state !== "strapped").length;
  const checks = leg.checks.filter((each) => each.open).length;
  const off = unloads(leg.move);
  return (
    <section class="card stack" style={{ "--c": markColour(one.mark) }} aria-label={one.name}>
      <h2 class="line line-wrap">
        <Mark mark={one.mark} size={48} />
        <span class="grow">{one.name}</span>
        <span class="tab-num count">
          {leg.done}
          <small> / {leg.due.length}</small>
        </span>
      </h2>
      <Floor vehicle={one} look={(row) => rowLook(leg, row)} label={t("row.of")} />
      <div class="cells">
        <Cell
          n={missing}
          word={t("noton.missing")}
          hold={missing > 0}
          onPress={() => open("not_on")}
        />
        <Cell
          n={notYet}
          word={t(off ? leftKey(leg.move) : "noton.not_yet")}
          onPress={() => open("not_on")}
        />
        {!off && <Cell n={loose} word={t("chief.to_strap")} onPress={() => open("rows")} />}
        <Cell n={checks} word={t("chief.checks_open")} onPress={() => open("checks")} />
      </div>
      {!off && <Left one={one} leg={leg} bundle={sheet} />}
      {leg.first_at !== null && (
        <p class="line soft">
          <Icon name="clock" />
          <span class="grow">
            {t("chief.since", { when: clock(leg.first_at), ago: ago(leg.first_at, now) })}
            <br />
            {t("chief.took", { n: minutesTaken(leg), done: leg.done })}
          </span>
        </p>
      )}
      <LastTimeLine vehicle={one.id} leg={leg} bundle={sheet} />
      <Status leg={leg} onPress={() => open(leg.released ? "released" : "release")} />
    </section>
  );
}

function Cell(props: { n: number; word: string; hold?: boolean; onPress: () => void }) {
  return (
    <button type="button" class={props.hold ? "cell cell-hold" : "cell"} onClick={props.onPress}>
      <b class="tab-num">{props.n}</b>
      <span>{props.word}</span>
    </button>
  );
}

/** Two limits side by side, and in words which of the two bites first. */
function Left({ one, leg, bundle: sheet }: Omit<CardProps, "now">) {
  const of = left(one, leg, sheet.units);
  return (
    <div class="stack">
      {of.bars.map((bar) => (
        <BarLine key={bar.word} bar={bar} />
      ))}
      {of.first && <p class="tall">{of.first}</p>}
      <OnAxles one={one} leg={leg} units={sheet.units} />
      <p class="caution">{t("caution.axles")}</p>
    </div>
  );
}

function Status({ leg, onPress }: { leg: Leg; onPress: () => void }) {
  if (unloads(leg.move)) return null;
  if (leg.released)
    return (
      <Button icon="sign" onPress={onPress}>
        {t("release.given", { name: leg.released.by, when: clock(leg.released.at) })}
      </Button>
    );
  return (
    <Button
      icon={leg.held.length > 0 ? "lock" : "sign"}
      tone={leg.held.length > 0 ? "plain" : "main"}
      onPress={onPress}
    >
      {leg.held.length > 0 ? t("release.held_by", { n: leg.held.length }) : t("release.ready")}
    </Button>
  );
}

function Phones({ now }: { now: number }) {
  const heard = devices.value;
  const unsent = heard.reduce((sum, one) => sum + one.unsent, 0);
  const oldest = Math.min(...heard.map((one) => one.heard_at));
  return (
    <button type="button" class="btn btn-left" onClick={() => go("phones")}>
      <Icon name="phone" size={32} />
      <span>
        {t("phones.count", { n: heard.length })}, {t("link.unsent", { n: unsent })}
        {heard.length > 0 && `, ${t("phones.oldest", { ago: ago(oldest, now) })}`}
      </span>
    </button>
  );
}
