/** What to hire for one show: the smallest or cheapest lawful set, and what each way out costs. */
import { useState } from "preact/hooks";
import { AskLine, useAdvice } from "./ask";
import { money } from "./words";
import { Amount, SureCount } from "../shared/number-field";
import { To } from "../shared/router";
import { length, mass } from "../shared/units";

interface Tried {
  vehicles: { id: string; name: string; count: number; loads: number; licence: string }[];
  cost_cents: number | null;
  state: "goes" | "refused" | "undecided";
  why: string;
  floor_um: number;
  loading_metres: number;
}
interface Way {
  kind: "leave" | "larger" | "trips" | "second";
  extra_cents: number | null;
  leave: string[];
  leave_mass_g: number;
  proven: boolean;
  set: Tried | null;
}
interface Hire {
  currency: string;
  by_money: boolean;
  proven: boolean;
  sentence: string;
  best: Tried | null;
  cheaper: Tried[];
  not_legal: string[];
  cautions: string[];
  booked?: { fits: boolean; over_g: number; short_um: number; reasons: string[]; ways: Way[] };
  load_time: Record<string, { words: string }>;
}

const WAYS: Record<Way["kind"], string> = {
  leave: "Leave cases behind",
  larger: "Take another vehicle",
  trips: "Drive more trips",
  second: "Add a vehicle",
};
const STATES = { goes: "", refused: "refused", undecided: "not decided" } as const;
const MOVES: Record<string, string> = { shop_load: "Load at the shop", load_out: "Load-out" };

const setWords = (one: Tried): string =>
  one.vehicles
    .map((each) => {
      const many = each.count > 1 ? `${each.count} × ` : "";
      const loads = each.loads > each.count ? `, ${each.loads} loads` : "";
      return `${many}${each.name || each.id}${loads}`;
    })
    .join(" + ");

/** One press: the smallest lawful hire for this show, with the owner's prices where there are any. */
export function HirePanel({ show }: { show: string }) {
  const asking = useAdvice<Hire>();
  const [distance, setDistance] = useState<number | null>(null);
  const [hours, setHours] = useState<number | null>(null);
  const [limit, setLimit] = useState<number | null>(1_100);
  const [days, setDays] = useState(1);
  const drive = {
    days: Number.isFinite(days) && days > 0 ? days : 1,
    distance: (distance ?? 0) / 100,
    hours: (hours ?? 0) / 100,
    hours_limit: limit ? limit / 100 : null,
  };
  const ask = () => {
    if (![distance, hours, limit].some(Number.isNaN))
      void asking.ask({ part: "hire", show, drive });
  };
  const found = asking.now?.answer;
  return (
    <section class="card stack" aria-label="What to hire">
      <h2>The smallest lawful hire for this show</h2>
      <details class="no-print">
        <summary>Distance, days and driving time</summary>
        <div class="form">
          <Amount
            id="hire-distance"
            label="Distance, one way"
            value={distance}
            onChange={setDistance}
            hint="In the miles or kilometres that your prices count."
          />
          <Amount
            id="hire-hours"
            label="Driving, one way"
            unit="h"
            value={hours}
            onChange={setHours}
          />
          <Amount
            id="hire-limit"
            label="One driver may drive in a day"
            unit="h"
            value={limit}
            onChange={setLimit}
            hint="11 h by 49 CFR 395.3(a)(3); 9 h by Regulation (EC) No 561/2006, Article 6(1)."
          />
          <SureCount id="hire-days" label="Days" value={days} blank={0} onChange={setDays} />
        </div>
        <p>
          <To to="fit/prices" class="btn btn-small">
            Prices of your vehicles
          </To>
        </p>
      </details>
      <AskLine id="ask-hire" word="Find the smallest hire" asking={asking} onAsk={ask} />
      {found && <Answer found={found} />}
    </section>
  );
}

function Answer({ found }: { found: Hire }) {
  const { best, booked, currency } = found;
  return (
    <div class="stack" id="hire-answer">
      {best && (
        <p>
          <b class="tall">{setWords(best)}</b>
          {best.cost_cents !== null && <b class="tall">, {money(best.cost_cents, currency)}</b>}
          <br />
          {length(best.floor_um)} of floor, {best.loading_metres} loading metres.
        </p>
      )}
      <p class={best ? "" : "bad"}>{found.sentence}</p>
      {booked && !booked.fits && <Ways booked={booked} currency={currency} />}
      {found.cheaper.length > 0 && (
        <details>
          <summary>
            {found.cheaper.length} {found.by_money ? "cheaper" : "smaller"} sets, and why not
          </summary>
          <ul>
            {found.cheaper.slice(0, 30).map((each, index) => (
              <li key={index}>
                {setWords(each)}
                {each.cost_cents !== null && `, ${money(each.cost_cents, currency)}`}:{" "}
                {STATES[each.state]}, {each.why}
              </li>
            ))}
          </ul>
        </details>
      )}
      <ul class="plain-list">
        {Object.entries(found.load_time).map(([move, { words }]) => (
          <li key={move}>
            <b>{MOVES[move] ?? move}:</b> {words}
          </li>
        ))}
      </ul>
      <ul class="note">
        {[...found.not_legal, ...found.cautions].map((each) => (
          <li key={each}>{each}</li>
        ))}
      </ul>
    </div>
  );
}

function Ways({ booked, currency }: { booked: NonNullable<Hire["booked"]>; currency: string }) {
  const over = [
    booked.over_g > 0 ? `${mass(booked.over_g)} over` : "",
    booked.short_um > 0 ? `${length(booked.short_um)} of floor short` : "",
  ].filter(Boolean);
  return (
    <div class="stack" id="ways-out">
      <h3>What is booked does not do: {over.join(", ") || booked.reasons.join("; ")}</h3>
      <div class="wide-table">
        <table class="plain">
          <thead>
            <tr>
              <th scope="col">Way out</th>
              <th scope="col">What</th>
              <th scope="col">Costs more</th>
            </tr>
          </thead>
          <tbody>
            {booked.ways.map((way) => (
              <tr key={way.kind}>
                <td>{WAYS[way.kind]}</td>
                <td>
                  {way.set
                    ? setWords(way.set)
                    : `${way.leave.slice(0, 6).join(", ")}${way.leave.length > 6 ? ` and ${way.leave.length - 6} more` : ""}, ${mass(way.leave_mass_g)}`}
                </td>
                <td class="tab-num">
                  {way.kind === "leave"
                    ? "no money"
                    : way.extra_cents === null
                      ? "no price"
                      : money(way.extra_cents, currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}
