/** Who did what, newest first: the server writes it down, nobody changes it. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { Small } from "../shared/controls";
import { shows, tried } from "../shared/state";
import { moment } from "../shared/units";

interface Entry {
  at: number;
  role: string;
  name: string;
  address: string;
  action: string;
  show_id: string | null;
  detail: string;
}
const FIRST = 15;

/** `seen` changes when something was done on this page, so that it is told at once. */
export function AuditPart({ seen }: { seen: unknown }) {
  const [entries, setEntries] = useState<Entry[]>([]);
  const [whole, setWhole] = useState(false);
  useEffect(() => {
    void tried(() => call<{ entries: Entry[] }>("GET", "/audit")).then((got) => {
      if (got) setEntries(got.entries);
    });
  }, [seen]);
  const shown = whole ? entries : entries.slice(0, FIRST);
  return (
    <section class="card stack" aria-label="Who did what">
      <h2>Who did what</h2>
      <table class="plain" id="audit">
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">Who</th>
            <th scope="col">What</th>
            <th scope="col">Show</th>
            <th scope="col">From</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((one, at) => (
            <tr key={`${one.at}${one.action}${at}`}>
              <td>{moment(one.at)}</td>
              <td>{one.name === "" ? "nobody known" : `${one.name}, ${one.role}`}</td>
              <td>{one.detail === "" ? one.action : `${one.action}: ${one.detail}`}</td>
              <td>
                {shows.value?.find((each) => each.id === one.show_id)?.name ?? one.show_id ?? ""}
              </td>
              <td>{one.address}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {entries.length > shown.length && (
        <Small onPress={() => setWhole(true)}>All of the last {entries.length}</Small>
      )}
    </section>
  );
}
