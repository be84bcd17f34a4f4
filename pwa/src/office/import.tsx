/** A fleet out of a CSV file: looked at first, taken in only as a whole. */
import { useState } from "preact/hooks";
import { Button } from "../ui/parts";
import { put, Refused, type Fault } from "./net";
import { Head } from "./parts";
import { To, go } from "./route";
import { done, loadCases, shop, tried } from "./state";

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

export function Import() {
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
      setTold(await put<Told>("/cases/import?dry_run=1", chosen, "text/csv"));
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      setWrong(error);
    }
    setBusy(false);
  };
  const take = async () => {
    if (!file) return;
    const taken = await tried(() => put<Told>("/cases/import", file, "text/csv"));
    if (!taken) return;
    await loadCases();
    go("fleet");
    done.value = `${taken.new} new, ${taken.changed} changed, ${taken.same} as they were.`;
  };
  const units = shop.value.units;
  return (
    <>
      <Head title="Take in a CSV file" sub="All of it, or nothing." />
      <section class="card stack">
        <p>
          The first line names the columns, in any order: <b>code, length, width, height</b> must be
          there; name, department, home, mass, turn, stances, lid_load, rides, lid_casters, casters,
          owner and state may be. Lengths are in {units.length} and masses in {units.mass} unless a
          heading says otherwise, as <span class="code">length_cm</span> does.
        </p>
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
        {told && <Preview told={told} />}
        <div class="acts-line">
          {told && told.new + told.changed > 0 && (
            <Button id="take" tone="main" onPress={() => void take()}>
              {`Take in ${told.new + told.changed} cases`}
            </Button>
          )}
          <To to="fleet" class="btn btn-small">
            Back to the fleet
          </To>
        </div>
      </section>
    </>
  );
}

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

function Preview({ told }: { told: Told }) {
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
              <th scope="col">Case</th>
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
