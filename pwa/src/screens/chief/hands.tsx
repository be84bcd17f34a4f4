/** Hands counted at the start of a vehicle, and what that means for the heavy cases. */
import { useState } from "preact/hooks";
import { leg, report, vehicle } from "../../app-model";
import type { PlaceSheet, VehicleSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Steps } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { back, go } from "../shared/navigation";
import {
  handsNeeded,
  isSlippery,
  peopleNow,
  slipperyRamp,
  surfaceOf,
} from "../shared/hands-needed";
import { caseName } from "../shared/names";
import { RampMeasure } from "./ramp";

/** Before anyone has counted: a guess to start from, that no figure uses until it is said. */
const FIRST_GUESS = 4;

export function Hands() {
  const at = vehicle.value;
  const [count, setCount] = useState(leg.value?.hands ?? FIRST_GUESS);
  if (!at) return <Frame title={t("hands.title")} children={null} />;
  const places = at.rows.flatMap((row) => row.places);
  // none will do comes first
  const wanted = (place: PlaceSheet) => handsNeeded(at, place) ?? Infinity;
  const heavy = places
    .filter((place) => wanted(place) > count)
    .sort((a, b) => (wanted(a) < wanted(b) ? 1 : -1));
  const save = async () => {
    if (await report({ kind: "hands", count })) back();
  };
  return (
    <Frame
      title={t("hands.title")}
      thumb={
        <Button tone="main" icon="person" onPress={save} id="hands">
          {t("hands.save", { n: count })}
        </Button>
      }
    >
      <Steps
        name={t("hands.title")}
        value={count}
        least={1}
        most={30}
        less={t("hands.less")}
        more={t("hands.more")}
        onChange={setCount}
      />
      <RampMeasure at={at} />
      {at.ramp && <Slippery at={at} surface="wet" />}
      {at.ramp && <Slippery at={at} surface="ice" />}
      {heavy.length === 0 ? (
        <p class="card card-go">{t("hands.enough")}</p>
      ) : (
        <TooHeavy at={at} heavy={heavy} />
      )}
      <p class="caution">{t("caution.ramp")}</p>
    </Frame>
  );
}

function Slippery({ at, surface }: { at: VehicleSheet; surface: "wet" | "ice" }) {
  const hazard = slipperyRamp(surface, at.id);
  const now = surfaceOf(at) === surface;
  const flip = () =>
    report(
      now
        ? { kind: "hazard_gone", hazard }
        : { kind: "hazard", hazard, text: t(`hands.${surface}_on`, { name: at.name }) },
    );
  return (
    <Button icon="hazard" pressed={now} onPress={flip} id={surface}>
      {t(`hands.${surface}`)}
    </Button>
  );
}

function TooHeavy({ at, heavy }: { at: VehicleSheet; heavy: readonly PlaceSheet[] }) {
  return (
    <section class="card card-hold stack">
      <h2>{t("hands.short", { n: heavy.length })}</h2>
      {isSlippery(at) && <p>{t("hands.wet_why")}</p>}
      <p>{t("hands.ways")}</p>
      <ul class="list">
        {heavy.slice(0, 12).map((place) => (
          <li key={place.code}>
            <button type="button" class="item" onClick={() => go("case", place.code)}>
              <Icon name="weight" size={32} />
              <span class="grow">
                <span class="code">{place.code}</span> {caseName(place.code)}
              </span>
              <b>{peopleNow(at, place)}</b>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
