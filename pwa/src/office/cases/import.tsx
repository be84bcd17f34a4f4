/** Cases or vehicles out of a CSV file: checked first, imported as a whole. */
import { useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { put, Refused, save, type Fault } from "../shared/api";
import { Head } from "../shared/controls";
import { To, go } from "../shared/router";
import { done, loadCases, loadVehicles, shop, tried } from "../shared/state";

interface Changed {
  code: string;
  fields: { field: string; before: string; after: string }[];
}
interface Told {
  new: number;
  changed: number;
  same: number;
  changes?: Changed[];
}

interface Kind {
  to: "fleet" | "vehicles";
  api: string;
  file: string;
  one: string;
  many: string;
  back: string;
  load: () => Promise<void>;
}

export const CASES: Kind = {
  to: "fleet",
  api: "/cases",
  file: "fleet.csv",
  one: "case",
  many: "cases",
  back: "Back to the fleet",
  load: loadCases,
};
export const VEHICLES: Kind = {
  to: "vehicles",
  api: "/vehicles",
  file: "vehicles.csv",
  one: "vehicle",
  many: "vehicles",
  back: "Back to the vehicles",
  load: loadVehicles,
};

export function Import({ kind }: { kind: Kind }) {
  const [file, setFile] = useState<File | null>(null);
  const [told, setTold] = useState<Told | null>(null);
  const [wrong, setWrong] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const look = async (chosen: File | null) => {
    setFile(chosen);
    setTold(null);
    setWrong(null);
    if (!chosen) return;
    setBusy(true);
    try {
      setTold(await put<Told>(`${kind.api}/import?dry_run=1`, chosen, "text/csv"));
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      setWrong(error);
    }
    setBusy(false);
  };
  const take = async () => {
    if (!file) return;
    const taken = await tried(() => put<Told>(`${kind.api}/import`, file, "text/csv"));
    if (!taken) return;
    await kind.load();
    go(kind.to);
    done.value = `${taken.new} new, ${taken.changed} changed, ${taken.same} as they were.`;
  };
  const much = told ? told.new + told.changed : 0;
  return (
    <>
      <Head title={`Import ${kind.many} from a CSV file`} sub="The whole file, or nothing of it.">
        <Button
          icon="out"
          onPress={() => void tried(() => save(`${kind.api}.csv`, kind.file))}
        >{`Export ${kind.many} as CSV`}</Button>
      </Head>
      <section class="card stack">
        {kind === CASES ? <CaseColumns /> : <VehicleColumns />}
        <label class="drop-file" for="csv">
          <input
            id="csv"
            type="file"
            accept=".csv,text/csv,text/plain"
            onChange={(event) => void look(event.currentTarget.files?.[0] ?? null)}
          />
          <span>{file ? file.name : "Choose a file, or drop it here"}</span>
        </label>
        {busy && <p role="status">Reading it.</p>}
        {wrong && <Wrong wrong={wrong} />}
        {told && <Preview told={told} one={kind.one} />}
        {told && much === 0 && (
          <p role="status">Nothing to import: everything in the file is here already.</p>
        )}
        <div class="acts-line">
          {much > 0 && (
            <Button id="take" tone="main" onPress={() => void take()}>
              {`Import ${much} ${much === 1 ? kind.one : kind.many}`}
            </Button>
          )}
          <To to={kind.to} class="btn btn-small">
            {kind.back}
          </To>
        </div>
      </section>
    </>
  );
}

const WORDS = {
  in: "inches",
  cm: "centimetres",
  mm: "millimetres",
  lb: "pounds",
  kg: "kilograms",
} as const;

/** What every heading may do, whatever the file is of. */
function Units() {
  const units = shop.value.units;
  return (
    <p>
      Lengths are in {WORDS[units.length]} and masses in {WORDS[units.mass]} unless a heading says
      otherwise, as <span class="code">length_cm</span> does. What the file has no column for stays
      as it is, and so does what the file does not name.
    </p>
  );
}

function CaseColumns() {
  return (
    <>
      <p>
        The first line names the columns, in any order: <b>code, length, width, height</b> must be
        there; name, department, home, mass, turn, stances, lid_load, rides, lid_casters, casters,
        owner, state, weighed_on, return_on, contents and note may be.
      </p>
      <Units />
    </>
  );
}

function VehicleColumns() {
  return (
    <>
      <p>
        The first line names the columns, in any order: <b>id, width, length, height</b> must be
        there. The quickest start is to give out what is here, change it and take it in again.
      </p>
      <table class="plain">
        <caption class="unseen">Columns that may be there</caption>
        <tbody>
          {COLUMNS.map(([words, columns]) => (
            <tr key={words}>
              <th scope="row">{words}</th>
              <td>{columns}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <Units />
      <p class="soft">
        An empty cell is not known, or not there: no ramp_length, no ramp. narrow holds every
        stretch as “100 to 140: 84 wide up to 12”, a semicolon between two; track_heights are set
        apart by blanks. Places of axles are behind the bulkhead, below zero ahead of it.
      </p>
    </>
  );
}

const COLUMNS: readonly (readonly [words: string, columns: string])[] = [
  ["Room and plate", "name, mark, driver_side, door_height, payload, narrow"],
  ["Ramp", "ramp_length, deck_height, ramp_rating, ramp_wet"],
  ["Lift gate", "gate_depth, gate_width, gate_rating"],
  ["Track, straps, bars", "track_heights, track_pitch, straps, strap_wll, bars"],
  [
    "Axles: truck, kingpin or ball",
    "axles, front_at, rear_at, empty_front, empty_rear, front_limit, rear_limit, gross_limit, share_min, share_max",
  ],
];

function Wrong({ wrong }: { wrong: Refused }) {
  const cells: readonly Fault[] = wrong.faults.filter((fault) => fault.row !== undefined);
  return (
    <div role="alert" class="stack">
      <p class="trouble">{wrong.detail}</p>
      {cells.length > 0 && (
        <table class="plain" id="wrong-cells">
          <thead>
            <tr>
              <th scope="col">Row</th>
              <th scope="col">Column</th>
              <th scope="col">Expected</th>
              <th scope="col">Got</th>
            </tr>
          </thead>
          <tbody>
            {cells.map((fault) => (
              <tr key={`${fault.row} ${fault.column} ${fault.expected}`}>
                <td class="tab-num">{fault.row}</td>
                <td>{fault.column}</td>
                <td>{fault.expected}</td>
                <td>{fault.got}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}

function Preview({ told, one: thing }: { told: Told; one: string }) {
  const changes = told.changes ?? [];
  return (
    <div class="stack" id="preview">
      <dl class="facts">
        <div>
          <dt>New</dt>
          <dd>{told.new}</dd>
        </div>
        <div>
          <dt>Changed</dt>
          <dd>{told.changed}</dd>
        </div>
        <div>
          <dt>As they were</dt>
          <dd>{told.same}</dd>
        </div>
      </dl>
      {changes.length > 0 && (
        <table class="plain">
          <caption>What changes{changes.length < told.changed ? ", the first of it" : ""}</caption>
          <thead>
            <tr>
              <th scope="col">{thing === "case" ? "Case" : "Vehicle"}</th>
              <th scope="col">What</th>
              <th scope="col">Now</th>
              <th scope="col">Then</th>
            </tr>
          </thead>
          <tbody>
            {changes.flatMap((one) =>
              one.fields.map((field) => (
                <tr key={`${one.code} ${field.field}`}>
                  <td class="code">{one.code}</td>
                  <td>{field.field}</td>
                  <td>{field.before}</td>
                  <td>{field.after}</td>
                </tr>
              )),
            )}
          </tbody>
        </table>
      )}
    </div>
  );
}
