/** A shop's own case list into the fleet: proposed by the server, corrected and mended here. */
import { useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { call, put } from "../shared/api";
import type { Shop } from "../shared/api-types";
import { keepChanges, open } from "../shared/changes";
import { Head, Small, Tick } from "../shared/controls";
import { go, To } from "../shared/router";
import { cases, done, loadCases, loadShop, shop, tried } from "../shared/state";
import { ListColumns } from "./list-columns";
import { ListKinds } from "./list-kinds";
import * as list from "./list-lines";
import { ListMend } from "./list-mend";

interface Saved {
  new: number;
  changed: number;
  same: number;
  refused: { place: number; code: string; field: string; message: string }[];
  hint: string;
}

interface Source {
  name: string;
  content: Blob;
}

export function ListImport() {
  const [source, setSource] = useState<Source | null>(null);
  const [choices, setChoices] = useState<list.Choices>({});
  const [found, setFound] = useState<list.Proposal | null>(null);
  const [busy, setBusy] = useState(false);
  const look = async (from: Source, chosen: list.Choices) => {
    setSource(from);
    setChoices(chosen);
    setBusy(true);
    const query = `name=${encodeURIComponent(from.name)}&choices=${encodeURIComponent(JSON.stringify(chosen))}`;
    const path = `/cases/propose?${query}`;
    setFound(await tried(() => put<list.Proposal>(path, from.content, "application/octet-stream")));
    setBusy(false);
  };
  return (
    <>
      <Head title="Import a case list" sub="Any spreadsheet: .xlsx, .csv, .tsv, or pasted cells." />
      <Sources name={source?.name ?? ""} onSource={(from) => void look(from, {})} />
      {busy && <p role="status">Reading the list.</p>}
      {source && found && (
        <>
          <ListColumns
            found={found}
            choices={choices}
            onChange={(chosen) => void look(source, chosen)}
          />
          <Lines key={`${source.name} ${JSON.stringify(choices)}`} found={found} />
        </>
      )}
    </>
  );
}

function Sources({ name, onSource }: { name: string; onSource: (from: Source) => void }) {
  return (
    <section class="card stack">
      <label class="drop-file" for="list-file">
        <input
          id="list-file"
          type="file"
          accept=".xlsx,.csv,.tsv,.txt"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) onSource({ name: file.name, content: file });
          }}
        />
        <span>{name || "Choose a file, or drop it here"}</span>
      </label>
      <div class="field field-tight">
        <label for="list-paste">Or paste cells from a spreadsheet</label>
        <textarea
          id="list-paste"
          rows={3}
          onInput={(event) => {
            const text = event.currentTarget.value;
            if (text.includes("\n")) onSource({ name: "pasted cells", content: new Blob([text]) });
          }}
        />
      </div>
      <p class="soft">
        Nothing is saved before you say so. A file that was exported from here comes back exactly by{" "}
        <To to="fleet/import">the exact import</To>.
      </p>
    </section>
  );
}

/** The lines of a proposal: mended, then saved. */
function Lines({ found }: { found: list.Proposal }) {
  const [lines, setLines] = useState(found.lines);
  const [keep, setKeep] = useState(found.numbering !== "");
  const [kinds, setKinds] = useState<ReadonlyMap<string, list.KindStacking>>(new Map());
  const codes = list.counted(lines);
  const isOpen = (line: list.ListLine) => line.asks.length > 0 || list.lacks(line, codes) !== "";
  const open = lines.filter(isOpen);
  const good = lines.filter((line) => !isOpen(line));
  const nameless = lines.filter((line) => line.code.trim() === "").length;
  const change = (line: list.ListLine, next: list.ListLine | null) =>
    setLines(lines.flatMap((one) => (one === line ? (next ? [next] : []) : [one])));
  const refuse = (refused: Saved["refused"]) => {
    const why = new Map(refused.map((one) => [one.code, one.message]));
    const left = [...open, ...good.filter((line) => why.has(line.code.toUpperCase()))];
    setLines(
      left.map((line) => {
        const message = why.get(line.code.toUpperCase());
        return message ? { ...line, asks: [{ field: "code", why: message }] } : line;
      }),
    );
  };
  return (
    <>
      {nameless > 0 && (
        <section class="card stack">
          <p>{`${nameless} lines have no number.`}</p>
          <Small
            id="number-them"
            onPress={() =>
              setLines(
                list.numbered(
                  lines,
                  (cases.value ?? []).map((c) => c.code),
                ),
              )
            }
          >
            Number them
          </Small>
        </section>
      )}
      <ListMend lines={lines} open={open} codes={codes} onChange={change} />
      <ListKinds lines={good} kinds={kinds} onChange={setKinds} />
      <section class="card stack">
        {found.numbering && (
          <Tick id="keep-codes" checked={keep} onChange={setKeep}>
            {`Your numbers look like ${good[0]?.code ?? found.numbering}: keep them, and print labels with them.`}
          </Tick>
        )}
        <ShopUnits found={found} />
        <Skipped found={found} />
        <SaveLines
          {...{ good, open, kinds }}
          numbering={keep ? found.numbering : ""}
          onRefused={refuse}
        />
      </section>
    </>
  );
}

/** An empty shop takes the units of its list with one press. */
function ShopUnits({ found }: { found: list.Proposal }) {
  const length = found.units["length"] ?? found.units["sides"];
  const mass = found.units["mass"] ?? shop.value.units.mass;
  const differs = length !== shop.value.units.length || mass !== shop.value.units.mass;
  if (!isLength(length) || !isMass(mass) || !differs || cases.value?.length) return null;
  const take = async () => {
    const seen = await tried(() => open<Shop>("/shop"));
    if (!seen) return;
    const after = { ...seen.document, units: { length, mass } };
    await tried(() => keepChanges<Shop>("/shop", seen, after));
    await loadShop();
  };
  return (
    <p>
      <Small id="shop-units" onPress={() => void take()}>
        {`Show everything in ${length} and ${mass}, as the list does`}
      </Small>
    </p>
  );
}

const isLength = (unit: string | undefined): unit is "in" | "cm" | "mm" =>
  unit === "in" || unit === "cm" || unit === "mm";
const isMass = (unit: string): unit is "lb" | "kg" => unit === "lb" || unit === "kg";

function Skipped({ found }: { found: list.Proposal }) {
  if (found.skipped.length === 0) return null;
  return (
    <details>
      <summary>
        {found.skipped.length === 1
          ? "1 row is no case"
          : `${found.skipped.length} rows are no cases`}
      </summary>
      <ul>
        {found.skipped.map((one) => (
          <li key={one.row}>{`Row ${one.row}, ${one.why}: ${one.text}`}</li>
        ))}
      </ul>
    </details>
  );
}

interface SaveProps {
  good: readonly list.ListLine[];
  open: readonly list.ListLine[];
  kinds: ReadonlyMap<string, list.KindStacking>;
  numbering: string;
  onRefused: (refused: Saved["refused"]) => void;
}

function SaveLines({ good, open, kinds, numbering, onRefused }: SaveProps) {
  const [busy, setBusy] = useState(false);
  const save = async () => {
    setBusy(true);
    const refused: Saved["refused"] = [];
    const sum = { new: 0, changed: 0, same: 0, hint: "" };
    for (let at = 0; at < good.length; at += list.MOST_AT_ONCE) {
      const part = good.slice(at, at + list.MOST_AT_ONCE).map((line) => list.sent(line, kinds));
      const saved = await tried(() =>
        call<Saved>("POST", "/cases/list", { cases: part, numbering }),
      );
      if (saved === null) break;
      refused.push(...saved.refused);
      for (const key of ["new", "changed", "same"] as const) sum[key] += saved[key];
      sum.hint = saved.hint;
    }
    await Promise.all([loadCases(), loadShop()]);
    setBusy(false);
    const words = `${sum.new} new, ${sum.changed} changed, ${sum.same} unchanged. ${sum.hint}`;
    if (refused.length === 0 && open.length === 0) go("fleet");
    else onRefused(refused);
    done.value = words;
  };
  return (
    <div class="acts-line">
      <Button
        id="save-list"
        tone="main"
        busy={busy || good.length === 0}
        onPress={() => void save()}
      >
        {`Import ${good.length} ${good.length === 1 ? "case" : "cases"}`}
      </Button>
      {open.length > 0 && <p class="soft">{`${open.length} stay in the table above.`}</p>}
      <To to="fleet" class="btn btn-small">
        Back to the fleet
      </To>
    </div>
  );
}
