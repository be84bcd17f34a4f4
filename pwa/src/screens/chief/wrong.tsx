/** A case of another vehicle stands at this one: the chief decides with the figures of both. */
import { bundle, move, report, state, vehicle } from "../../app-model";
import type { Bundle, VehicleSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { Mark, markColour } from "../../ui/mark";
import { Button } from "../../ui/parts";
import { ChecksFirst, checksFirst } from "../shared/checks-first";
import { Frame } from "../shared/frame";
import { go, screen } from "../shared/navigation";
import { caseName } from "../shared/names";
import { leftAtTheEnd } from "./left";

/** The vehicle on which the case is due in this move. */
function dueOn(code: string): VehicleSheet | null {
  const legs = move.value ? state.value?.legs[move.value] : undefined;
  const id = Object.values(legs ?? {}).find((leg) => leg.due.includes(code))?.vehicle;
  return bundle.value?.vehicles.find((one) => one.id === id) ?? null;
}

export function Wrong() {
  const code = screen.value.arg;
  const here = vehicle.value;
  const there = dueOn(code);
  const sheet = bundle.value;
  const title = t("wrong.title", { code });
  if (!here || !there || !sheet) return <Frame title={title} children={null} />;
  const keep = async () => {
    const excused = await report(
      { kind: "excused", code, why: "other_vehicle", to_vehicle: here.id },
      { vehicle: there.id },
    );
    const why = t("wrong.keep", { name: here.name });
    if (excused && (await report({ kind: "on", code, read: "tap", row: null, why }))) go("next");
  };
  return (
    <Frame title={title}>
      <h2>
        <span class="code">{code}</span> {caseName(code)}
      </h2>
      <Side one={there} code={code} bundle={sheet} planned />
      <Button tone="main" icon="truck" onPress={() => go("next")} id="send">
        {t("wrong.send", { name: there.name })}
      </Button>
      <Side one={here} code={code} bundle={sheet} />
      <ChecksFirst />
      <Button icon="swap" busy={checksFirst().length > 0} onPress={keep} id="keep">
        {t("wrong.keep", { name: here.name })}
      </Button>
      <p class="caution">{t("caution.planning")}</p>
    </Frame>
  );
}

interface SideProps {
  one: VehicleSheet;
  code: string;
  bundle: Bundle;
  planned?: boolean;
}

/** What is left on one of the two once all is on, if the case goes there. */
function Side({ one, code, bundle: sheet, planned = false }: SideProps) {
  const leg = move.value ? state.value?.legs[move.value][one.id] : undefined;
  if (!leg) return null;
  return (
    <section class="card stack" aria-label={one.name} style={{ "--c": markColour(one.mark) }}>
      <h2 class="line">
        <Mark mark={one.mark} size={48} />
        <span class="grow">
          {one.name}
          <br />
          <small>{t(planned ? "wrong.planned" : "wrong.here")}</small>
        </span>
      </h2>
      <p>{t("wrong.with")}</p>
      {leftAtTheEnd(one, leg, sheet, code).map((bar) => (
        <p key={bar.word} class="line">
          <span class="grow">{bar.word}</span>
          <b class={bar.over ? "tag tag-hold" : undefined}>{bar.left}</b>
        </p>
      ))}
    </section>
  );
}
