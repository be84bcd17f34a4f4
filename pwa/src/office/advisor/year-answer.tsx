/** What the shop's shows say of each change, of each kind, and of themselves. */
import { RowsDrawing, type DrawnRow } from "./rows-drawing";
import {
  VERDICTS,
  count,
  difference,
  floor,
  money,
  moneySpan,
  type Cents,
  type Span,
  type Verdict,
} from "./words";
import { length } from "../shared/units";

interface Compared {
  name: string;
  floor: Span & { verdict: Verdict };
  vehicles: { low: number; high: number; verdict: Verdict };
  lifts: number;
  money: Cents | null;
  cost_cents: number | null;
  sentence: string;
  nights: { night: string; vehicle: string; floor: Span }[];
  not_compared: string[];
  drawn: {
    night: string;
    vehicle: string;
    width_um: number;
    before: DrawnRow[];
    after: DrawnRow[];
  } | null;
}
export interface Year {
  note: string;
  currency: string;
  nights: {
    night: string;
    times: number;
    does_not_fit: string[];
    loads: {
      vehicle: string;
      floor: Span;
      vehicles: { low: number; high: number };
      lifts: number;
      money: Cents | null;
    }[];
  }[];
  costs: { name: string; count: number; floor_um: number }[];
  changes: Compared[];
}

export function YearAnswer({ year }: { year: Year }) {
  return (
    <>
      {year.changes.map((each, index) => (
        <OneChange key={index} of={each} currency={year.currency} />
      ))}
      <section class="card stack" aria-label="What each kind costs">
        <h2>Floor that each kind costs over these shows</h2>
        <ol class="costly" id="year-costs">
          {year.costs.slice(0, 12).map((each) => (
            <li key={each.name}>
              <b>{length(each.floor_um)}</b> {each.count} × {each.name}
            </li>
          ))}
        </ol>
        <p class="soft">{year.note}</p>
      </section>
      <Nights year={year} />
    </>
  );
}

function BeforeAfter({ drawn }: { drawn: NonNullable<Compared["drawn"]> }) {
  return (
    <div class="before-after">
      <RowsDrawing
        rows={drawn.before}
        width={drawn.width_um}
        label={`Before: ${drawn.night} in ${drawn.vehicle}`}
      />
      <RowsDrawing rows={drawn.after} width={drawn.width_um} label="After" />
    </div>
  );
}

function OneChange({ of, currency }: { of: Compared; currency: string }) {
  return (
    <section class="card stack change" aria-label={of.name}>
      <h2>{of.name}</h2>
      <dl class="figures">
        <div>
          <dt>Floor</dt>
          <dd>
            <b class="tall">{difference(of.floor)}</b> {VERDICTS[of.floor.verdict]}
          </dd>
        </div>
        <div>
          <dt>Vehicles</dt>
          <dd>
            <b class="tall">{count(of.vehicles.low, of.vehicles.high)}</b>{" "}
            {VERDICTS[of.vehicles.verdict]}
          </dd>
        </div>
        <div>
          <dt>Lifts onto lids</dt>
          <dd>
            <b class="tall">{of.lifts > 0 ? `+${of.lifts}` : of.lifts}</b> in the rows found
          </dd>
        </div>
        {of.money && (
          <div>
            <dt>Vehicles by the day</dt>
            <dd>
              <b class="tall">{moneySpan(of.money, currency)}</b>
              {of.cost_cents !== null && ` against ${money(of.cost_cents, currency)} once`}
            </dd>
          </div>
        )}
      </dl>
      {of.nights.length > 0 && (
        <p>
          It matters most on{" "}
          {of.nights
            .slice(0, 3)
            .map((each) => `${each.night} (${each.vehicle}: ${difference(each.floor)})`)
            .join("; ")}
          .
        </p>
      )}
      {of.not_compared.map((each) => (
        <p key={each} class="note">
          Not compared: {each}
        </p>
      ))}
      {of.drawn && <BeforeAfter drawn={of.drawn} />}
    </section>
  );
}

function Nights({ year }: { year: Year }) {
  return (
    <section class="card stack" aria-label="Each show in each vehicle">
      <h2>Each show, in each of its vehicles alone</h2>
      <div
        class="wide-table"
        tabIndex={0}
        role="group"
        aria-label="Table of shows, scrolls sideways"
      >
        <table class="plain" id="year-nights">
          <thead>
            <tr>
              <th scope="col">Show</th>
              <th scope="col">Vehicle</th>
              <th scope="col">Floor</th>
              <th scope="col">How many</th>
              <th scope="col">A day costs</th>
            </tr>
          </thead>
          <tbody>
            {year.nights.flatMap((night) => [
              ...night.loads.map((load, index) => (
                <tr key={`${night.night}${load.vehicle}`} class={index === 0 ? "first-way" : ""}>
                  <td>
                    {index === 0 && `${night.night}${night.times > 1 ? ` × ${night.times}` : ""}`}
                  </td>
                  <td>{load.vehicle}</td>
                  <td class="tab-num">{floor(load.floor)}</td>
                  <td class="tab-num">{count(load.vehicles.low, load.vehicles.high)}</td>
                  <td class="tab-num">
                    {load.money ? moneySpan(load.money, year.currency) : "no price"}
                  </td>
                </tr>
              )),
              ...night.does_not_fit.map((vehicle) => (
                <tr key={`${night.night}${vehicle}`}>
                  <td>{night.loads.length === 0 && night.night}</td>
                  <td>{vehicle}</td>
                  <td colSpan={3} class="bad">
                    a case does not fit
                  </td>
                </tr>
              )),
            ])}
          </tbody>
        </table>
      </div>
    </section>
  );
}
