/** The fleet in rows: how well it stands in each vehicle, which cases cost most, who fills whose row. */
import { useEffect, useState } from "preact/hooks";
import { AskLine, useAdvice } from "./ask";
import { RowsDrawing, type DrawnRow } from "./rows-drawing";
import { floor, type Span } from "./words";
import { Pick } from "../shared/controls";
import { bareLength, length, lengthUnit } from "../shared/units";

interface Partner {
  code: string;
  name: string;
  count: number;
  others: number;
  slack_um: number;
}
interface Direction {
  stance: string;
  turned: boolean;
  across_um: number;
  along_um: number;
  count: number;
  slack_um: number;
  full_rows: number;
  orphans: number;
  pack: string;
  partners: Partner[];
}
interface Kind {
  name: string;
  codes: string[];
  count: number;
  packs: string[];
  directions: Direction[];
}
interface Costly {
  name: string;
  codes: string[];
  count: number;
  rows_um: number;
  lost_um: number;
}
interface Fleet {
  vehicle: string;
  name: string;
  width_um: number;
  floor: Span;
  least_um: number;
  used: number;
  sentence: string;
  costly: Costly[];
  kinds: Kind[];
  rows: DrawnRow[];
}

const MOST = 80;

export function FleetPart() {
  const asking = useAdvice<{ vehicles: Fleet[] }>();
  const [at, setAt] = useState("0");
  const ask = () => void asking.ask({ part: "fleet" });
  useEffect(ask, []);
  const vehicles = asking.now?.answer?.vehicles ?? [];
  const here = vehicles[Number(at)] ?? vehicles[0];
  return (
    <>
      <section class="card stack" aria-label="The fleet in every vehicle">
        <h2>How well the whole fleet stands in rows</h2>
        <AskLine id="ask-fleet" word="Look again" asking={asking} onAsk={ask} />
        {vehicles.length > 0 && <Vehicles all={vehicles} />}
      </section>
      {here && (
        <>
          <div class="sieve no-print">
            <Pick
              id="fleet-vehicle"
              label="Vehicle"
              value={at}
              options={vehicles.map((each, index) => [String(index), each.name || each.vehicle])}
              onChange={setAt}
            />
          </div>
          <Costliest of={here} />
          <Kinds of={here} />
        </>
      )}
    </>
  );
}

function Vehicles({ all }: { all: Fleet[] }) {
  return (
    <div class="wide-table">
      <table class="plain" id="fleet-vehicles">
        <thead>
          <tr>
            <th scope="col">Vehicle</th>
            <th scope="col">Of its floor, needed</th>
            <th scope="col">Rows take</th>
            <th scope="col">Least possible</th>
          </tr>
        </thead>
        <tbody>
          {all.map((each) => (
            <tr key={each.vehicle}>
              <td>{each.name || each.vehicle}</td>
              <td class="tab-num">
                <b class="tall">{Math.round(each.used * 100)} %</b>
              </td>
              <td class="tab-num">{floor(each.floor)}</td>
              <td class="tab-num">{length(each.least_um)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Costliest({ of }: { of: Fleet }) {
  return (
    <section class="card stack" aria-label="Cases that cost most">
      <h2>Cases that cost most floor in {of.name || of.vehicle}</h2>
      <p>{of.sentence}</p>
      {of.costly.length === 0 ? (
        <p class="good">No case loses floor beyond its own footprint.</p>
      ) : (
        <ol class="costly">
          {of.costly.map((each) => (
            <li key={each.codes[0]}>
              <b>{length(each.lost_um)}</b> lost by {each.count} × {each.name || each.codes[0]};{" "}
              {length(each.rows_um)} of rows each
            </li>
          ))}
        </ol>
      )}
      {of.rows.length > 0 && (
        <RowsDrawing
          rows={of.rows.slice(0, 12)}
          width={of.width_um}
          label={`The first ${Math.min(12, of.rows.length)} rows of the whole fleet`}
        />
      )}
    </section>
  );
}

function Kinds({ of }: { of: Fleet }) {
  const [pack, setPack] = useState("");
  const packs = [...new Set(of.kinds.flatMap((each) => each.packs))].sort();
  const kinds = of.kinds.filter((each) => pack === "" || each.packs.includes(pack));
  return (
    <section class="card stack" aria-label="Each kind in rows">
      <h2>Each kind alone, and what fills the rest of its row</h2>
      <div class="sieve no-print">
        <Pick
          id="fleet-pack"
          label="Pack width"
          value={pack}
          options={[["", "All kinds"], ...packs.map((each) => [each, each] as const)]}
          onChange={setPack}
        />
      </div>
      <div
        class="wide-table"
        tabIndex={0}
        role="group"
        aria-label="Table of kinds, scrolls sideways"
      >
        <table class="plain" id="fleet-kinds">
          <thead>
            <tr>
              <th scope="col">Kind</th>
              <th scope="col">Across × deep, {lengthUnit()}</th>
              <th scope="col">Full rows</th>
              <th scope="col">Over</th>
              <th scope="col">Slack, {lengthUnit()}</th>
              <th scope="col">Pack width</th>
              <th scope="col">Fills its row with</th>
            </tr>
          </thead>
          <tbody>
            {kinds.slice(0, MOST).flatMap((kind) =>
              kind.directions.length === 0 ? (
                <tr key={kind.codes[0]}>
                  <td>{label(kind)}</td>
                  <td colSpan={6} class="bad">
                    does not fit
                  </td>
                </tr>
              ) : (
                kind.directions.map((way, index) => (
                  <Way
                    key={`${kind.codes[0]}${index}`}
                    way={way}
                    kind={index === 0 ? kind : null}
                  />
                ))
              ),
            )}
          </tbody>
        </table>
      </div>
      {kinds.length > MOST && <p class="soft">{kinds.length - MOST} more kinds are not shown.</p>}
    </section>
  );
}

const label = (kind: Kind): string => `${kind.count} × ${kind.name || kind.codes[0]}`;

function Way({ way, kind }: { way: Direction; kind: Kind | null }) {
  const best = way.partners[0];
  return (
    <tr class={kind ? "first-way" : ""}>
      <td>{kind && label(kind)}</td>
      <td class="tab-num">
        {bareLength(way.across_um)} × {bareLength(way.along_um)}
      </td>
      <td class="tab-num">
        {way.full_rows} of {way.count}
      </td>
      <td class="tab-num">{way.orphans || "none"}</td>
      <td class="tab-num">{bareLength(way.slack_um)}</td>
      <td>{way.pack}</td>
      <td>
        {best &&
          `${way.count === best.count ? "" : `${best.count} and `}${best.others} × ${best.name || best.code}, ${length(best.slack_um)} left`}
      </td>
    </tr>
  );
}
