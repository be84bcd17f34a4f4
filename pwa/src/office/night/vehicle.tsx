/** One vehicle of the night: its rows as they fill, what holds it, weights as loaded, pace. */
import type { RowSummary, VehicleSummary } from "../../core/night-summary";
import type { Bundle } from "../../core/bundle";
import { t } from "../../i18n";
import { Mark, markColour } from "../../ui/mark";
import { mass } from "../shared/units";
import { clockOf, nameOf, rangeOf } from "./words";

interface VehicleCardProps {
  one: VehicleSummary;
  bundle: Bundle;
}

export function VehicleCard({ one, bundle }: VehicleCardProps) {
  const all = one.due > 0 && one.done >= one.due;
  return (
    <section
      class="card stack night-vehicle"
      style={{ "--c": markColour(one.mark) }}
      aria-label={one.name}
      data-vehicle={one.id}
      data-done={one.done}
    >
      <h2 class="line line-wrap">
        <Mark mark={one.mark} size={40} />
        <span class="grow">{one.name}</span>
        <span class="tab-num count">
          {one.done}
          <small> / {one.due}</small>
        </span>
      </h2>
      <RowsDrawing one={one} />
      <p class={one.missing.length > 0 ? "tag-line hold" : "tag-line"}>{standing(one, all)}</p>
      <p class="soft">
        {one.close && !all
          ? `Last case ${rangeOf(one.close)}, at ${Math.round(one.close.pace)} cases an hour.`
          : all
            ? `Last case at ${clockOf(one.lastAt)}.`
            : "No pace yet: it takes five cases."}
      </p>
      <Weights one={one} />
      {one.missing.length > 0 && <Named title="Missing" codes={one.missing} bundle={bundle} open />}
      {one.strays.length > 0 && <Named title="Not due here" codes={one.strays} bundle={bundle} />}
      {one.checksOpen.length > 0 && <OpenChecks one={one} bundle={bundle} />}
      <RowTable rows={one.rows} />
    </section>
  );
}

/** In words how a vehicle stands, the worst first. */
function standing(one: VehicleSummary, all: boolean): string {
  if (one.released) {
    const changed = one.leg.changed_since_release ? "; changed since" : "";
    return `Released by ${one.released.by} at ${clockOf(one.released.at)}${changed}.`;
  }
  const parts = [
    one.missing.length > 0 ? `${one.missing.length} missing` : "",
    one.notYet.length > 0 ? `${one.notYet.length} not yet` : "",
    one.checksOpen.length > 0 ? `${one.checksOpen.length} checks open` : "",
  ].filter(Boolean);
  if (parts.length > 0) return `${parts.join(", ")}.`;
  if (!all) return "Not begun.";
  return one.held > 0 ? `All done, held for ${one.held} reasons.` : "All done, ready to release.";
}

/** The floor from above, bulkhead at the left: each row fills from the driver's wall as it loads. */
function RowsDrawing({ one }: { one: VehicleSummary }) {
  const { sheet } = one;
  const [long, wide] = [sheet.length_um / 10_000, sheet.width_um / 10_000];
  const begun = one.rows.filter((row) => row.on > 0).length;
  const full = one.rows.filter((row) => row.filled >= 1).length;
  return (
    <svg
      class="night-rows"
      viewBox={`-4 -4 ${long + 8} ${wide + 8}`}
      role="img"
      aria-label={`${full} of ${one.rows.length} rows full, ${begun - full} begun`}
    >
      <path d={`M${long} 0H0V${wide}H${long}`} fill="none" stroke="var(--ink)" stroke-width="5" />
      {one.rows.map((row) => {
        const place = sheet.rows.find((each) => each.number === row.number);
        if (!place) return null;
        const x = place.start_um / 10_000 + 3;
        const depth = Math.max(4, place.depth_um / 10_000 - 6);
        const height = (wide - 12) * Math.min(1, row.filled);
        const lacks = row.calledFull && row.filled < 1;
        return (
          <g key={row.number} data-row={row.number} data-on={row.on}>
            <rect
              x={x}
              y={6}
              width={depth}
              height={wide - 12}
              fill="none"
              stroke={lacks ? "var(--hold)" : "var(--line)"}
              stroke-width={lacks ? 7 : 3}
              stroke-dasharray={row.on === 0 ? "9 7" : undefined}
            />
            <rect x={x} y={6} width={depth} height={height} fill="var(--c)" />
            {row.state === "strapped" && (
              <path
                d={`M${x + depth / 2} 0V${wide}`}
                stroke="var(--ground)"
                stroke-width="8"
                stroke-dasharray="14 8"
              />
            )}
          </g>
        );
      })}
    </svg>
  );
}

function Weights({ one }: { one: VehicleSummary }) {
  const over = one.mass.limit !== null && one.mass.most > one.mass.limit;
  const axles = one.axles.filter((axle) => axle.limit !== null);
  const unsure = one.mass.most - one.mass.least;
  return (
    <p class={over ? "hold" : undefined}>
      <b>{mass(one.mass.most)}</b> on board
      {one.mass.limit !== null && ` of ${mass(one.mass.limit)}`}
      {unsure > 0 && `, of which ${mass(unsure)} is assumed`}
      {axles.map((axle) => (
        <span key={axle.name} class={axle.value > (axle.limit ?? 0) ? "hold" : undefined}>
          {`; ${axle.name} ${mass(axle.value)} of ${mass(axle.limit ?? 0)}`}
        </span>
      ))}
      .
    </p>
  );
}

interface NamedProps {
  title: string;
  codes: readonly string[];
  bundle: Bundle;
  open?: boolean;
}

function Named({ title, codes, bundle, open = false }: NamedProps) {
  return (
    <details open={open}>
      <summary>{`${title}: ${codes.length}`}</summary>
      <ul class="night-names">
        {codes.map((code) => (
          <li key={code}>
            <b>{code}</b> {nameOf(bundle, code)}
          </li>
        ))}
      </ul>
    </details>
  );
}

function OpenChecks({ one, bundle }: VehicleCardProps) {
  const texts = one.checksOpen.map((id) => {
    const check = bundle.checks.find((each) => each.id === id && each.move === one.leg.move);
    return check?.text["en"] ?? id;
  });
  return (
    <details>
      <summary>{`Checks open: ${texts.length}`}</summary>
      <ul class="night-names">
        {texts.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </details>
  );
}

function RowTable({ rows }: { rows: readonly RowSummary[] }) {
  return (
    <details>
      <summary>Row by row</summary>
      <table class="totals">
        <thead>
          <tr>
            <th scope="col">Row</th>
            <th scope="col">On</th>
            <th scope="col">{t("chief.to_strap")}</th>
            <th scope="col">Worked by</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.number}>
              <th scope="row">{row.number}</th>
              <td class="tab-num">{`${row.on} of ${Math.max(row.due, row.on)}`}</td>
              <td class="tab-num">{`${row.straps.counted ?? 0} of ${row.straps.needed}`}</td>
              <td>{row.holder ?? "–"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
