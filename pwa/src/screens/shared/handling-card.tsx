/** What a hand reads before touching a case: people, how, and where it is refused what else. */
import { leg } from "../../app-model";
import type { PlaceSheet, VehicleSheet } from "../../core/bundle";
import { isKey, t, type Key } from "../../i18n";
import { handsNeeded, handsShort, isSlippery, liftNow, peopleNow } from "./hands-needed";
import { Said } from "./server-text";
import { unloads } from "./sequence";
import { stanceWord } from "./format";

export function CheckCard({ place, vehicle }: { place: PlaceSheet; vehicle: VehicleSheet }) {
  const { check } = place;
  const now = leg.value;
  if (!check || !now) return null;
  const down = check.slope && unloads(now.move);
  const short = handsShort(vehicle, now, place) > 0;
  const held = short || handsNeeded(vehicle, place) === null;
  return (
    <section class={!held ? "card stack" : "card card-hold stack"} id="check-card">
      <h3>{t("touch.title")}</h3>
      <p class="tall">{people(place, vehicle)}</p>
      <ul class="list">
        <li>{stanceWord(place)}</li>
        <li>{t(down ? "touch.down" : "touch.up")}</li>
        {liftNow(place) > 0 && <li>{t("touch.lift", { n: liftNow(place) })}</li>}
        {isSlippery(vehicle) && <li>{t("hands.wet_why")}</li>}
      </ul>
      {handsNeeded(vehicle, place) === null && <b>{t("figure.none")}</b>}
      {check.may_go && handsNeeded(vehicle, place) === null && <p>{t("hands.ways_one")}</p>}
      {(check.asks ?? []).map((name) => (
        <p key={name}>{worded("way", name)}</p>
      ))}
      {check.reasons.map((reason) => (
        <p key={reason}>
          <Said text={reason} />
        </p>
      ))}
      {short && (
        <p>
          {t("hands.too_few", { need: handsNeeded(vehicle, place) ?? 0, have: now.hands ?? 0 })}{" "}
          {t("hands.ways_one")}
        </p>
      )}
      <Ways names={check.ways} />
      <p class="caution">
        {t(check.slope ? "caution.ramp" : place.lift ? "caution.lift" : "caution.push")}
      </p>
    </section>
  );
}

function people(place: PlaceSheet, vehicle: VehicleSheet): string {
  const { check } = place;
  if (!check || handsNeeded(vehicle, place) === null) return peopleNow(vehicle, place);
  const spotters = check.spotters > 0 ? ` (${t("touch.spotter", { n: check.spotters })})` : "";
  return `${peopleNow(vehicle, place)}${spotters}`;
}

function Ways({ names }: { names: readonly string[] }) {
  if (names.length === 0) return null;
  return (
    <>
      <b>{t("touch.instead")}</b>
      <ul class="list">
        {names.map((name) => (
          <li key={name}>{worded("way", name)}</li>
        ))}
      </ul>
    </>
  );
}

/** Names that the words know; what a newer server adds shows its own name. */
export function worded(kind: "way" | "hz", name: string, n = 1): string {
  const key = `${kind}.${name}`;
  return isKey(key) ? t(key as Key, { n }) : name.replaceAll("_", " ");
}
