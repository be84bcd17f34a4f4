/** Every change of one document: who, when, what it was and became; any can be taken back. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { shown } from "../shared/conflict";
import { Empty, Head, Small } from "../shared/controls";
import { fieldWords } from "../shared/error-messages";
import { To } from "../shared/router";
import {
  done,
  loadCases,
  loadShop,
  loadShows,
  loadVehicles,
  shows,
  tried,
  vehicles,
} from "../shared/state";
import { moment } from "../shared/units";

interface Line {
  version: number;
  at: number;
  by: string;
  fields: { field: string; before: unknown; after: unknown }[];
  undoable: boolean;
}
const ROOMS: Readonly<Record<string, string>> = {
  shop: "shop",
  case: "fleet",
  vehicle: "vehicles",
  show: "shows",
};

/** What people call a document; its id where it has no name. */
function nameOf(kind: string, id: string): string {
  const list = kind === "show" ? shows.value : kind === "vehicle" ? vehicles.value : null;
  return list?.find((each) => each.id === id)?.name || id;
}

export function HistoryRoom({ kind, id }: { kind: string; id: string }) {
  const [lines, setLines] = useState<Line[] | null>(null);
  const address = `/versions/${kind}/${encodeURIComponent(id)}`;
  const load = async () => setLines(await tried(() => call<Line[]>("GET", address)));
  useEffect(() => void load(), [address]);
  const undo = async (line: Line) => {
    if (!(await tried(() => call("POST", `${address}/${line.version}/undo`)))) return;
    await Promise.all([loadShop(), loadCases(), loadVehicles(), loadShows()]);
    await load();
    done.value = "That change is taken back; what was changed since stays.";
  };
  const back = kind === "shop" ? "shop" : `${ROOMS[kind] ?? ""}/${encodeURIComponent(id)}`;
  return (
    <>
      <Head title="History" sub={kind === "shop" ? "The shop" : nameOf(kind, id)}>
        <To to={back} class="btn btn-small">
          Back
        </To>
      </Head>
      {lines?.length === 0 && <Empty>Nobody has changed it yet.</Empty>}
      <ol class="stack" id="versions" reversed>
        {(lines ?? []).map((line) => (
          <li key={line.version} class="card stack">
            <div class="line">
              <p class="grow">
                <b>{line.by || "A command on the server"}</b>{" "}
                <span class="soft">{line.at > 0 ? moment(line.at) : "before this list began"}</span>
              </p>
              {line.undoable && (
                <Small label={`Take back change ${line.version}`} onPress={() => void undo(line)}>
                  Take it back
                </Small>
              )}
            </div>
            {line.fields.length > 0 && (
              <ul class="faults">
                {line.fields.map((each) => (
                  <li key={each.field}>
                    <b>{fieldWords(each.field)}: </b>
                    {shown(each.field, each.before)} → {shown(each.field, each.after, each.before)}
                  </li>
                ))}
              </ul>
            )}
            {line.fields.length === 0 && <p class="soft">Added, issued or closed then.</p>}
          </li>
        ))}
      </ol>
    </>
  );
}
