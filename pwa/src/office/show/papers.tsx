/** Papers of a show: the page of every vehicle, and the record of the night three ways. */
import type { Show } from "../shared/api-types";
import { save } from "../shared/api";
import { Empty, Small } from "../shared/controls";
import { byId, tried } from "../shared/state";

export function RecordPart({ show }: { show: Show }) {
  if (!show.issued) return <Empty>No plan is issued yet: there is nothing on record.</Empty>;
  const get = (which: string, name: string) => () =>
    void tried(() => save(`/shows/${show.id}/${which}`, name));
  return (
    <section class="card stack" aria-label="Papers">
      <h2>Record of the night</h2>
      <div class="line line-wrap">
        <Small id="record-pdf" onPress={get("record.pdf", `record-${show.id}.pdf`)}>
          Record, PDF
        </Small>
        <Small id="record-csv" onPress={get("record.csv", `record-${show.id}.csv`)}>
          Record, CSV
        </Small>
        <Small id="record-json" onPress={get("record", `record-${show.id}.json`)}>
          Record to be checked, JSON
        </Small>
      </div>
      <p class="soft">
        Keep the JSON: <code>python3 server verify</code> shows later whether anybody changed it.
      </p>
      <h2>One page for each vehicle</h2>
      <div class="line line-wrap">
        {show.vehicles.map((id) => (
          <Small key={id} onPress={get(`sheet.pdf?vehicle=${encodeURIComponent(id)}`, `${id}.pdf`)}>
            {`${byId.value.get(id)?.name || id}, PDF`}
          </Small>
        ))}
      </div>
    </section>
  );
}
