/** Hands counted at the start of a vehicle, and what that means for the heavy cases. */
import { useState } from "preact/hooks";
import { bundle, leg, report, vehicle } from "../../app-model";
import type { PlaceSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Steps } from "../../ui/parts";
import { Frame } from "../frame";
import { back, go } from "../go";
import { caseName } from "../names";

export function Hands() {
  const at = vehicle.value;
  const [count, setCount] = useState(leg.value?.hands ?? 4);
  const places = at?.rows.flatMap((row) => row.places) ?? [];
  const heavy = places.filter((place) => need(place) > count).sort((a, b) => need(b) - need(a));
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
      {heavy.length === 0 ? (
        <p class="card card-go">{t("hands.enough")}</p>
      ) : (
        <section class="card card-hold stack">
          <h2>{t("hands.short", { n: heavy.length })}</h2>
          {at?.ramp?.wet && <p class="tall">{t("hands.wet")}</p>}
          <p>{t("hands.ways")}</p>
          <ul class="list">
            {heavy.slice(0, 12).map((place) => (
              <li key={place.code}>
                <button type="button" class="item" onClick={() => go("case", place.code)}>
                  <Icon name="weight" size={32} />
                  <span class="grow">
                    <span class="code">{place.code}</span> {caseName(place.code)}
                  </span>
                  <b>{t("people.push", { n: need(place) })}</b>
                </button>
              </li>
            ))}
          </ul>
        </section>
      )}
      {bundle.value && <p class="caution">{t("brief.caution")}</p>}
    </Frame>
  );
}

const need = (place: PlaceSheet): number => Math.max(place.push, place.lift);
