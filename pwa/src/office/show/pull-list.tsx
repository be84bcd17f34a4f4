/** Pull and stage: what comes out of the shop, lane by lane in loading order, with the gear it asks. */
import { useEffect, useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import { Mark } from "../../ui/mark";
import { GearWords } from "../drawing/gear-notes";
import type { Plan, Show } from "../shared/api-types";
import { call } from "../shared/api";
import { Empty, Small } from "../shared/controls";
import { StageScan } from "./stage-scan";
import { byCode, quietly, tried } from "../shared/state";
import { bareMass, length, mass, massUnit } from "../shared/units";

interface Fact {
  seq: number;
  event: { move: string; body: { kind: string; code?: string; place?: string } };
}

const SIDES = {
  driver: "driver side",
  middle: "middle",
  kerb: "kerb side",
  full: "full width",
} as const;

/** What phones have reported at the shop: staged, or on board already. */
function useStaged(show: string): ReadonlyMap<string, string> {
  const [staged, setStaged] = useState<ReadonlyMap<string, string>>(new Map());
  useEffect(() => {
    let here = true;
    const look = async () => {
      let since = 0;
      const found = new Map<string, string>();
      for (let more = true; more;) {
        const got = await quietly(() =>
          call<{ events: Fact[]; cursor: number; more: boolean }>(
            "GET",
            `/shows/${show}/events?since=${since}`,
          ),
        );
        for (const { event } of got?.events ?? []) {
          const { kind, code, place } = event.body;
          if (event.move !== "shop_load" || !code) continue;
          if (kind === "on") found.set(code, "on board");
          else if (kind === "seen") found.set(code, place ? `staged: ${place}` : "staged");
        }
        more = got?.more ?? false;
        since = got?.cursor ?? since;
      }
      if (here) setStaged(found);
    };
    void look();
    const timer = setInterval(() => void look(), 5_000);
    return () => {
      here = false;
      clearInterval(timer);
    };
  }, [show]);
  return staged;
}

export function PullPart({ show }: { show: Show }) {
  const [plan, setPlan] = useState<Plan | null>(null);
  const [here, setHere] = useState<ReadonlyMap<string, string>>(new Map());
  const reported = useStaged(show.id);
  const staged = new Map([...here, ...reported]);
  useEffect(() => {
    if (show.issued)
      void tried(() => call<Plan>("GET", `/shows/${show.id}/plans/${show.issued}`)).then(setPlan);
  }, [show.id, show.issued]);
  if (!show.issued) return <Empty>Issue a plan first: the lanes follow its rows.</Empty>;
  if (!plan) return <p class="soft">One moment.</p>;
  return (
    <div class="stack">
      <div class="line">
        <p class="grow soft">
          One lane a vehicle, bulkhead row first. Phones scan each case into its lane: here it is
          ticked off as they do. On paper every case has a box for a pen.
        </p>
        <Small onPress={() => print()}>Print</Small>
      </div>
      {!show.closed && (
        <StageScan
          show={show.id}
          revision={show.issued}
          sheets={plan.sheets}
          onStaged={(code, words) => setHere(new Map(here).set(code, words))}
        />
      )}
      {plan.sheets.map((sheet) => (
        <Lane key={sheet.id} sheet={sheet} staged={staged} />
      ))}
    </div>
  );
}

function massOf(code: string): string {
  const weighs = byCode.value.get(code)?.mass_g ?? 0;
  return weighs ? bareMass(weighs) : "not weighed";
}

interface PullProps {
  place: VehicleSheet["rows"][number]["places"][number];
  row: number | null;
  staged: string | undefined;
}

/** One case; `row` beside the first of its row. */
function PullLine({ place, row, staged }: PullProps) {
  const known = byCode.value.get(place.code);
  return (
    <tr class={row === null ? "" : "first-way"}>
      <td class="tall">{row ?? ""}</td>
      <td>
        <span class="code">{place.code}</span> {known?.name}
      </td>
      <td>{known?.home}</td>
      <td class="tab-num">{massOf(place.code)}</td>
      <td>{place.on.length ? `on ${place.on.join(" and ")}` : SIDES[place.side]}</td>
      <td class={staged === undefined ? "soft" : "good"}>
        {staged === undefined && <span class="pen-box" />}
        {staged ?? "not yet"}
      </td>
    </tr>
  );
}

function Lane({ sheet, staged }: { sheet: VehicleSheet; staged: ReadonlyMap<string, string> }) {
  const there = sheet.load.filter((code) => staged.has(code)).length;
  const order = new Map(sheet.load.map((code, index) => [code, index]));
  return (
    <section class="card stack vehicle-drawing" aria-label={`Lane of ${sheet.name}`}>
      <header class="line line-wrap">
        <Mark mark={sheet.mark} size={36} />
        <h2 class="grow">{sheet.name}</h2>
        <span>
          {mass(sheet.mass_g)}, <b>{there}</b> of {sheet.load.length} staged
        </span>
      </header>
      <Gear sheet={sheet} />
      <GearWords sheet={sheet} />
      <p class="caution">
        Planning figures. Local law, the ratings on strap and anchor, and a competent person decide.
      </p>
      <div class="drawing-scrolls" tabIndex={0} role="group" aria-label={`Cases of ${sheet.name}`}>
        <table class="plain">
          <thead>
            <tr>
              <th scope="col">Row</th>
              <th scope="col">Case</th>
              <th scope="col">Home</th>
              <th scope="col">Mass, {massUnit()}</th>
              <th scope="col">Stands</th>
              <th scope="col">Staged</th>
            </tr>
          </thead>
          <tbody>
            {sheet.rows.flatMap((row) =>
              [...row.places]
                .sort((one, other) => (order.get(one.code) ?? 0) - (order.get(other.code) ?? 0))
                .map((place, index) => (
                  <PullLine
                    key={place.code}
                    place={place}
                    row={index === 0 ? row.number : null}
                    staged={staged.get(place.code)}
                  />
                )),
            )}
          </tbody>
        </table>
      </div>
    </section>
  );
}

/** Straps, bars and fillers that the planned rows ask for. */
function Gear({ sheet }: { sheet: VehicleSheet }) {
  const straps = sheet.rows.reduce((sum, row) => sum + row.straps, 0);
  const fills = sheet.rows.filter((row) => row.fill);
  return (
    <ul class="gear">
      <li>
        <b>{straps}</b> straps{sheet.straps && `, ${sheet.straps.count} on board`}
      </li>
      <li>
        <b>{sheet.bars}</b> load bars on board
      </li>
      {fills.map((row) => (
        <li key={row.number}>
          filler for row {row.number}: <b>{length(row.slack_um)}</b> wide
        </li>
      ))}
    </ul>
  );
}
