/** What of a vehicle runs out first: floor, payload, axles; and how even the sides are. */
import type { VehicleSheet } from "../../core/bundle";
import { GearWords } from "./gear-notes";
import { byCode } from "../shared/state";
import { length, mass } from "../shared/units";
import { allWeighed } from "../shared/weighed";

interface Share {
  word: string;
  used: number;
  limit: number;
  says: string;
}

/** Moments about the two supports (mechanics): what each carries, with the empty vehicle. */
function supports(sheet: VehicleSheet): { front: number; rear: number } | null {
  const axles = sheet.axles;
  if (!axles) return null;
  let total = 0;
  let moment = 0;
  for (const row of sheet.rows)
    for (const place of row.places) {
      const weighs = byCode.value.get(place.code)?.mass_g ?? 0;
      total += weighs;
      moment += weighs * (place.y + place.dy / 2 - axles.front_at_um);
    }
  const rear = moment / (axles.rear_at_um - axles.front_at_um);
  return { front: axles.empty_front_g + total - rear, rear: axles.empty_rear_g + rear };
}

const SUPPORTS = {
  truck: ["Front axle", "Rear axle"],
  kingpin: ["Kingpin", "Trailer axles"],
  ball: ["Tongue", "Axle"],
} as const;

/** What is left of the floor, or how much it is too short. */
export function floorLeft(sheet: VehicleSheet): string {
  const left = sheet.length_um - sheet.floor_length_um;
  return left < 0 ? `${length(-left)} too much` : `${length(left)} left`;
}

function shares(sheet: VehicleSheet): Share[] {
  const found: Share[] = [
    {
      word: "Floor",
      used: sheet.floor_length_um,
      limit: sheet.length_um,
      says: floorLeft(sheet),
    },
  ];
  const known = allWeighed(sheet.load);
  const add = (word: string, used: number, limit: number | null) => {
    if (limit === null) return;
    const over = used > limit;
    const most = known ? "" : over ? "at least " : "at most ";
    const says = `${most}${over ? `${mass(used - limit)} too much` : `${mass(limit - used)} left`}`;
    found.push({ word, used, limit, says });
  };
  add("Payload", sheet.mass_g, sheet.payload_g);
  const on = supports(sheet);
  if (on && sheet.axles) {
    const [front, rear] = SUPPORTS[sheet.axles.kind];
    add(front, on.front, sheet.axles.front_limit_g);
    add(rear, on.rear, sheet.axles.rear_limit_g);
    add("Gross", on.front + on.rear, sheet.axles.gross_limit_g);
  }
  return found;
}

/** Mass driver side of the middle, as a share of the load. */
function driverShare(sheet: VehicleSheet): number | null {
  let total = 0;
  let driver = 0;
  for (const row of sheet.rows)
    for (const place of row.places) {
      const weighs = byCode.value.get(place.code)?.mass_g ?? 0;
      const leftPart = Math.min(Math.max(sheet.width_um / 2 - place.x, 0), place.dx) / place.dx;
      total += weighs;
      driver += weighs * (sheet.driver_side === "left" ? leftPart : 1 - leftPart);
    }
  return total > 0 ? driver / total : null;
}

export function Balance({ sheet }: { sheet: VehicleSheet }) {
  const all = shares(sheet);
  const first = all.reduce((one, other) =>
    other.used / other.limit > one.used / one.limit ? other : one,
  );
  const driver = driverShare(sheet);
  const straps = sheet.rows.reduce((sum, row) => sum + row.straps, 0);
  const short = sheet.straps !== null && straps > sheet.straps.count;
  return (
    <div class="balance">
      {all.map((each) => {
        const share = each.used / each.limit;
        return (
          <div key={each.word} class={share > 1 ? "gauge gauge-over" : "gauge"}>
            <span class="gauge-word">
              {each.word}
              {each === first && <em> runs out first</em>}
            </span>
            <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
              <path d="M0 4H100" stroke="var(--raise)" stroke-width="8" />
              <path
                d={`M0 4H${Math.min(100, share * 100)}`}
                stroke={share > 1 ? "var(--hold)" : "var(--steel)"}
                stroke-width="8"
              />
            </svg>
            <span class="tab-num">
              <b>{Math.round(share * 100)} %</b> {each.says}
            </span>
          </div>
        );
      })}
      {driver !== null && (
        <div class={Math.abs(driver - 0.5) > 0.05 ? "gauge gauge-ask" : "gauge"}>
          <span class="gauge-word">Driver side, kerb side</span>
          <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
            <path d="M0 4H100" stroke="var(--raise)" stroke-width="8" />
            <path d={`M50 4H${driver * 100}`} stroke="var(--steel)" stroke-width="8" />
            <path d="M50 0V8" stroke="var(--ink)" stroke-width="0.6" />
          </svg>
          <span class="tab-num">
            <b>{Math.round(driver * 100)} %</b> and {100 - Math.round(driver * 100)} %
          </span>
        </div>
      )}
      <div class={short ? "gauge gauge-over" : "gauge"}>
        <span class="gauge-word">Straps</span>
        <span class="tab-num">
          <b>{straps}</b> {sheet.straps ? `of ${sheet.straps.count} on board` : "to bring"}
        </span>
      </div>
      <GearWords sheet={sheet} />
      <p class="caution">
        Planning figures. Local law, the vehicle's plate, the makers' ratings and a competent person
        decide.
      </p>
    </div>
  );
}
