/** The card of one case: row, side, stance, people, and its place drawn to scale. */
import type { Bundle, PlaceSheet, VehicleSheet } from "../../core/bundle";
import type { Leg } from "../../core/state";
import { t } from "../../i18n";
import { Doorway } from "../../ui/doorway";
import { People, StanceIcon } from "../../ui/figures";
import { Icon } from "../../ui/icon";
import { CasePhoto } from "../shared/case-photo";
import { handsNeeded, handsShort, isSlippery, peopleNow } from "../shared/hands-needed";
import { onBoard, placeOf, unloads } from "../shared/sequence";
import { shopNotes } from "../shared/shop-notes";
import { mass, sideWord, stanceWord } from "../shared/format";

interface CardProps {
  code: string;
  vehicle: VehicleSheet;
  leg: Leg;
  bundle: Bundle;
  name: string;
}

export function NextCard({ code, vehicle, leg, bundle, name }: CardProps) {
  const found = placeOf(vehicle, code, leg);
  const card = bundle.cases[code];
  if (leg.move === "put_away") return <HomeCard code={code} name={name} home={card?.home ?? ""} />;
  if (!found) return <UnplacedCard code={code} name={name} />;
  const { row, place } = found;
  const side = sideWord(place.side);
  const needed = handsNeeded(vehicle, place);
  return (
    <section class="next" aria-label={name}>
      <div class="next-top">
        <div>
          <p class="next-label">{unloads(leg.move) ? t("next.off") : t("next.row")}</p>
          <p class="next-row">{row.number}</p>
        </div>
        <Doorway
          vehicle={vehicle}
          row={row}
          target={code}
          isOn={(other) => onBoard(leg, other)}
          label={t("next.place", { row: row.number, side })}
        />
      </div>
      <p class="next-side">{side}</p>
      <CaseLine code={code} name={name} grams={card?.mass_g} units={bundle.units} />
      <div class="next-how">
        <div class="how">
          <StanceIcon stance={place.stance} turned={place.turned} />
          <span>{stanceWord(place)}</span>
        </div>
        <div class="how">
          {needed !== null && <People count={needed} lift={place.lift > 0} />}
          <span>{peopleNow(vehicle, place)}</span>
        </div>
      </div>
      <TooFew vehicle={vehicle} leg={leg} place={place} />
      {unloads(leg.move) && card && <p class="tall goes-to">{card.department}</p>}
      {place.on.length > 0 && <p class="soft">{t("on_lid", { code: place.on.join(", ") })}</p>}
    </section>
  );
}

/** Fewer hands than this case asks: no, why, and what may be done instead. */
function TooFew(props: { vehicle: VehicleSheet; leg: Leg; place: PlaceSheet }) {
  const { vehicle, leg, place } = props;
  if (handsShort(vehicle, leg, place) === 0) return null;
  const need = handsNeeded(vehicle, place) ?? 0;
  return (
    <div class="trouble" role="alert" id="too-few">
      <p>{t("hands.too_few", { need, have: leg.hands ?? 0 })}</p>
      {isSlippery(vehicle) && <p>{t("hands.wet_why")}</p>}
      <p>{t("hands.ways_one")}</p>
      <p class="caution">{t("caution.ramp")}</p>
    </div>
  );
}

function CaseLine(props: {
  code: string;
  name: string;
  grams?: number | undefined;
  units: Bundle["units"];
}) {
  return (
    <h2 class="next-case">
      <span class="code">{props.code}</span>
      <span class="name">{props.name}</span>
      {props.grams ? <span class="soft">{mass(props.grams, props.units, "up")}</span> : null}
      <CasePhoto code={props.code} />
    </h2>
  );
}

/** Putting away: the home in the size of a row number. */
function HomeCard({ code, name, home }: { code: string; name: string; home: string }) {
  return (
    <section class="next" aria-label={name}>
      <p class="next-label">{t("next.home")}</p>
      <p class="next-row">{home || "?"}</p>
      {shopNotes(code).map((line) => (
        <p key={line} class="trouble">
          {line}
        </p>
      ))}
      <h2 class="next-case">
        <span class="code">{code}</span>
        <span class="name">{name}</span>
      </h2>
    </section>
  );
}

/** A case that came after the plan: it has no row, so the chief finds it a place. */
function UnplacedCard({ code, name }: { code: string; name: string }) {
  return (
    <section class="next card card-ask" aria-label={name}>
      <Icon name="lost" size={64} />
      <h2 class="next-case">
        <span class="code">{code}</span>
        <span class="name">{name}</span>
      </h2>
      <p>{t("next.no_place")}</p>
    </section>
  );
}
