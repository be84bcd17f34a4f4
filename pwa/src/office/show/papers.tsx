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
        Keep the JSON: <a href="/verify.html">this page</a> (save it too: it works as a file) and{" "}
        <code>python3 server verify</code> show later whether anybody changed it.
      </p>
      <h2>To tape up and to hand out</h2>
      <div class="line line-wrap">
        <Small id="wall-pdf" onPress={get("wall.pdf", `wall-${show.id}.pdf`)}>
          Wall sheet: rows drawn large, PDF
        </Small>
        <Small id="pull-pdf" onPress={get("pull.pdf", `pull-${show.id}.pdf`)}>
          Pull list by home and by row, PDF
        </Small>
        <Small id="driver-pdf" onPress={get("driver.pdf", `driver-${show.id}.pdf`)}>
          Drivers' sheets, PDF
        </Small>
      </div>
      <p class="soft">On Letter where the shop counts in inches, else on A4.</p>
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
