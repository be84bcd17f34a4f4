/** What to own and what to hire: what fits, the fleet in rows, changes, new cases, prices. */
import { BuyPart } from "./buy";
import { FleetPart } from "./fleet";
import { PricesPart } from "./prices";
import { YearPart } from "./year";
import { FitPart } from "../cases/fit-table";
import { Head } from "../shared/controls";
import { To } from "../shared/router";
import "./advisor.css";

const PARTS = [
  ["", "What fits", "Cases across each vehicle, and what fills a row"],
  ["fleet", "The fleet in rows", "Which cases cost floor, in every vehicle"],
  ["year", "Changes", "What a change of the fleet does to your shows"],
  ["buy", "New cases", "Which footprint to buy or build"],
  ["prices", "Prices", "What vehicles and hours cost you"],
] as const;

export function AdvisorRoom({ part }: { part: string }) {
  const here = PARTS.find(([to]) => to === part) ?? PARTS[0];
  return (
    <>
      <Head title={here[1]} sub={here[2]}>
        <button type="button" class="btn btn-small" onClick={() => print()}>
          Print
        </button>
      </Head>
      <nav class="parts" aria-label="What to own and hire">
        {PARTS.map(([to, word]) => (
          <To key={to} to={to ? `fit/${to}` : "fit"} class="part" current={to === here[0]}>
            {word}
          </To>
        ))}
      </nav>
      {here[0] === "" && <FitPart />}
      {here[0] === "fleet" && <FleetPart />}
      {here[0] === "year" && <YearPart />}
      {here[0] === "buy" && <BuyPart />}
      {here[0] === "prices" && <PricesPart />}
    </>
  );
}
