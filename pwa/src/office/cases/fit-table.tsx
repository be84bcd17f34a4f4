/** The fit table: how many of each case stand across each vehicle, and what fills a row together. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { call } from "../shared/api";
import { Empty, Pick } from "../shared/controls";
import { byId, tried } from "../shared/state";
import { bareLength, length, lengthUnit } from "../shared/units";

interface Way {
  stance: string;
  turned: boolean;
  across_um: number;
  along_um: number;
  fits: boolean;
  count: number;
  slack_um: number;
  rows: number;
  high: number;
}
interface Fill {
  along_um: number;
  slack_um: number;
  parts: { count: number; across_um: number; codes: string[] }[];
}
interface Table {
  kinds: { codes: string[]; name: string }[];
  vehicles: {
    id: string;
    narrow: boolean;
    width_um: number;
    length_um: number;
    ways: Way[][];
    fills: Fill[];
  }[];
}

const STANCE: Record<string, string> = {
  upright: "upright",
  on_end: "on end",
  on_side: "on side",
};
const MOST = 60;

export function FitPart() {
  const [table, setTable] = useState<Table | null>(null);
  const [at, setAt] = useState("0");
  const [words, setWords] = useState("");
  useEffect(() => void tried(() => call<Table>("GET", "/fit")).then(setTable), []);
  const here = table?.vehicles[Number(at)];
  const rows = useMemo(() => {
    const wanted = words.toLowerCase();
    return (table?.kinds ?? [])
      .map((kind, index) => ({ kind, ways: here?.ways[index] ?? [] }))
      .filter(({ kind }) => `${kind.name} ${kind.codes.join(" ")}`.toLowerCase().includes(wanted));
  }, [table, here, words]);
  if (!table) return <p class="soft">One moment.</p>;
  return (
    <>
      {!here ? (
        <Empty>Enter a vehicle first.</Empty>
      ) : (
        <>
          <div class="sieve">
            <Pick
              id="fit-vehicle"
              label="Vehicle"
              value={at}
              options={table.vehicles.map((each, index) => [
                String(index),
                `${byId.value.get(each.id)?.name || each.id}, ${length(each.width_um)} wide${each.narrow ? " (narrow stretch)" : ""}`,
              ])}
              onChange={setAt}
            />
            <div class="field field-tight grow">
              <label for="fit-search">Case</label>
              <input
                id="fit-search"
                type="search"
                value={words}
                onInput={(event) => setWords(event.currentTarget.value)}
              />
            </div>
          </div>
          <Fills fills={here.fills} width={here.width_um} />
          <Kinds rows={rows} />
        </>
      )}
    </>
  );
}

type KindRow = { kind: Table["kinds"][number]; ways: Way[] };

function Kinds({ rows }: { rows: readonly KindRow[] }) {
  return (
    <section class="card stack" aria-label="Each kind of case">
      <h2>Each kind of case</h2>
      <div class="wide-table" tabIndex={0} role="group" aria-label="Cases, scrolls sideways">
        <table class="plain" id="fit-table">
          <thead>
            <tr>
              <th scope="col">Case</th>
              <th scope="col">Stands</th>
              <th scope="col">Across × deep, {lengthUnit()}</th>
              <th scope="col">Side by side</th>
              <th scope="col">Slack, {lengthUnit()}</th>
              <th scope="col">Rows in the length</th>
              <th scope="col">Stacked</th>
            </tr>
          </thead>
          <tbody>
            {rows
              .slice(0, MOST)
              .flatMap(({ kind, ways }) =>
                ways.map((way, index) => (
                  <WayLine
                    key={`${kind.codes[0]}${index}`}
                    kind={index === 0 ? kind : null}
                    way={way}
                  />
                )),
              )}
          </tbody>
        </table>
      </div>
      {rows.length > MOST && <p class="soft">{rows.length - MOST} more kinds: search for them.</p>}
    </section>
  );
}

/** One way to stand; `kind` is shown beside the first of its ways. */
function WayLine({ kind, way }: { kind: KindRow["kind"] | null; way: Way }) {
  return (
    <tr class={kind ? "first-way" : ""}>
      <td>
        {kind && (
          <>
            <span class="code">{kind.codes[0]}</span>
            {kind.codes.length > 1 && ` and ${kind.codes.length - 1} more`} {kind.name}
          </>
        )}
      </td>
      <td>
        {STANCE[way.stance]}
        {way.turned && ", turned"}
      </td>
      <td class="tab-num">
        {bareLength(way.across_um)} × {bareLength(way.along_um)}
      </td>
      {way.fits ? (
        <>
          <td class="tab-num">
            <b>{way.count}</b>
          </td>
          <td class="tab-num">{bareLength(way.slack_um)}</td>
          <td class="tab-num">{way.rows}</td>
          <td class="tab-num">{way.high}</td>
        </>
      ) : (
        <td colSpan={4} class="bad">
          does not fit
        </td>
      )}
    </tr>
  );
}

function Fills({ fills, width }: { fills: Fill[]; width: number }) {
  return (
    <section class="card stack" aria-label="Rows that fill up">
      <h2>Rows that fill up</h2>
      {fills.length === 0 && <p class="soft">Nothing stands in this vehicle.</p>}
      <ol class="fills">
        {fills.slice(0, 8).map((fill, index) => (
          <li key={index}>
            <FillBar fill={fill} width={width} />
            <span>
              {fill.parts
                .map(
                  (part) =>
                    `${part.count} × ${length(part.across_um)} (${part.codes.slice(0, 3).join(", ")}${part.codes.length > 3 ? ", ..." : ""})`,
                )
                .join(" + ")}
              , {length(fill.along_um)} deep:{" "}
              <b>{fill.slack_um === 0 ? "no slack" : `${length(fill.slack_um)} slack`}</b>
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** A row from wall to wall, to scale. */
function FillBar({ fill, width }: { fill: Fill; width: number }) {
  let x = 0;
  const boxes = fill.parts.flatMap((part) =>
    Array.from({ length: part.count }, () => {
      const box = { x, wide: part.across_um };
      x += part.across_um;
      return box;
    }),
  );
  return (
    <svg class="fill-bar" viewBox={`0 0 ${width / 1000} 340`} aria-hidden="true">
      {boxes.map((box) => (
        <rect
          key={box.x}
          x={box.x / 1000 + 8}
          y="20"
          width={box.wide / 1000 - 16}
          height="300"
          fill="var(--case)"
          stroke="var(--steel)"
          stroke-width="12"
        />
      ))}
      <path
        d={`M8 0V340M${width / 1000 - 8} 0V340`}
        stroke="var(--ink)"
        stroke-width="24"
        fill="none"
      />
    </svg>
  );
}
